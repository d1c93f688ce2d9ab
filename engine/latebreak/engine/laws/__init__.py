"""Force laws: drag and lift as functions, by name, and as polynomials that the kernels evaluate."""

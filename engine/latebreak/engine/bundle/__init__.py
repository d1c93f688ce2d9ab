"""Many throws of one pitch: how they scatter, and where they arrive."""

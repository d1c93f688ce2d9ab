"""Flight of a baseball: the air, the forces, the throws, and where they arrive; SI units throughout."""

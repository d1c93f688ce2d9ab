"""A mean pitch: what is thrown, where it is aimed, and what of it is not known."""

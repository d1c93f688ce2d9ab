"""Calibration: what is held against the hitter model, and how well it does."""

"""Calibration: the hitter held against real swings, league and experiments, and fitted to some of them."""

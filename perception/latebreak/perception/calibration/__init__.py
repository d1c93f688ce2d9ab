"""Calibration: the hitter held against real swings, the league and published experiments, and fitted to some of them."""

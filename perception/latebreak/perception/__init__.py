"""The hitter: what can be seen of a pitch, and when."""

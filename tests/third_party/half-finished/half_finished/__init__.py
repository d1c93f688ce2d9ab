"""A lift law and a hitter model that nobody has tried."""

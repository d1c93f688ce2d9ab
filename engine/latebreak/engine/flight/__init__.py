"""One flight: its equation, how it is stepped, its path, its end."""

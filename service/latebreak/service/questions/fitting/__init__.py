"""Parts of the question `fit`: from measured throws to a scenario, and what changed since the last time."""

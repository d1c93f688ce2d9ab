"""The air and the ball that flies through it."""

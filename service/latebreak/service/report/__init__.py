"""The page for the pitcher: pictures of all that the questions find out."""

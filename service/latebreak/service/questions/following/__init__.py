"""Following a pitch: a goal kept in a file, and how far it is by the throws of later sessions."""

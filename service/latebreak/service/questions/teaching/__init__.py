"""The parts of the question what a record of swings teaches: its rows, the record they make, the answer, the file."""

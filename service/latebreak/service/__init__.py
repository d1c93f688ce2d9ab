"""Questions a coach asks, the files they are asked with, and the ways to ask: command line, service, Python."""

"""The command line: one module a command, errors translated in one place."""

from latebreak.service.cli.main import main

__all__ = ["main"]

"""`latebreak`: which commands there are, and what becomes of errors.

Commands are imported when they are used, so that the help comes at once.
"""

from __future__ import annotations

import importlib
import io
import os
import shutil
import sys
import traceback
from pathlib import Path
from textwrap import TextWrapper

import click

from latebreak.engine.errors import InputError, LatebreakError
from latebreak.service.wording import clean

#: Exit statuses of the contract; 0 is an answer.
BUG, INPUT_AT_FAULT, TROUBLE, INTERRUPTED = 1, 2, 3, 130

#: Characters of a line of a message.
_LINE = 100

#: Commands with their short help; each is the function `command` of the module of its name, or stands in `asking`.
COMMANDS = {
    "fly": "Where do these pitches go?",
    "compare": "Which of these is harder to hit behind this fastball?",
    "aim": "Where should this pitch be aimed, given how it scatters?",
    "mix": "How often should each pitch be thrown?",
    "columns": "Propose a column map for measured throws of any device.",
    "fit": "Make a scenario from measured throws; what changed?",
    "hitters": "Teach the hitter model by your own record of swings.",
    "levers": "What does a step on each lever do, and where is the leak?",
    "reach": "How much must be added to reach a goal?",
    "goal": "Keep what is wanted of a pitch in a file; fit --goal says how far it is.",
    "report": "A page with pictures for the pitcher.",
    "sweep": "Many what-ifs over any keys of a scenario, here or on a cluster.",
    "serve": "Answer the same questions over gRPC.",
    "new": "Write a commented starter scenario into this folder.",
}
#: Those that stand in `asking`.
QUESTIONS = frozenset(("fly", "compare", "aim", "mix", "levers", "reach"))


class Commands(click.Group):
    """The commands, each imported when it is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import a command."""
        if cmd_name not in COMMANDS:
            return None
        is_question = cmd_name in QUESTIONS
        module = importlib.import_module(f"latebreak.service.cli.{'asking' if is_question else cmd_name}")
        command: click.Command = getattr(module, cmd_name if is_question else "command")
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="latebreak")
def latebreak() -> None:
    """Say how late a breaking ball seems to break.

    latebreak flies bundles of pitches as a pitcher scatters them and says what a hitter can make of them. SCENARIO is
    the path of a scenario file or the name of a ready scenario; start with: latebreak compare two-grips
    """


def main() -> None:
    """Run the command line and exit with the status of the contract."""
    os.environ.setdefault("GRPC_VERBOSITY", "NONE")  # the library's own log on stderr; what matters is told by ours
    _prepare_streams()
    sys.exit(status())


def _prepare_streams() -> None:
    """Let every stream take every text: a terminal that lacks a character shows ?, and what is closed takes all."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115 - for the rest of the run
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _say(words: str) -> None:
    """Write to stderr; where nobody reads it any more the exit status says enough."""
    try:
        click.echo(words, err=True)
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stderr.fileno())


def _say_faults(error: Exception) -> None:
    """Write a message, a line for each fault; what is longer than a line goes on indented below it."""
    width = min(shutil.get_terminal_size((_LINE, 0)).columns, _LINE)
    wrap = TextWrapper(width, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False)
    _say("\n".join(map(wrap.fill, str(error).splitlines())))


def status() -> int:
    """Run the command line; return the exit status, with a message on stderr where something went wrong."""
    try:
        latebreak.main(standalone_mode=False)
        sys.stdout.flush()
    except click.exceptions.Exit as leave:
        return leave.exit_code
    except (click.Abort, KeyboardInterrupt):
        _say("interrupted")
        return INTERRUPTED
    except SystemExit:  # click's answer to a closed pipe: whoever read has seen enough
        return 0
    except click.ClickException as error:
        message = io.StringIO()
        error.show(message)
        _say("\n".join(map(clean, message.getvalue().splitlines())))  # the user's words are in it
        return INPUT_AT_FAULT
    except InputError as error:
        _say_faults(error)
        return INPUT_AT_FAULT
    except BrokenPipeError:  # whoever read the answer has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except (LatebreakError, OSError) as error:
        _say_faults(error)
        return TROUBLE
    except Exception:
        _say(f"This is a fault of latebreak, not yours; please report it:\n{traceback.format_exc()}")
        return BUG
    return 0

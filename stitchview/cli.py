"""The command line: the one table of commands, and the window where none is named."""

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from typing import NoReturn

from stitchview import __version__
from stitchview.command.card import CARD
from stitchview.command.charts import CHECK, CONVERT, FACTS, MAKE_SAMPLE
from stitchview.command.cloth import SIZE
from stitchview.command.command import MISUSED, Command
from stitchview.command.finishing import FINISH, TAUGHT
from stitchview.command.following import COUNT_OFF, NEXT, PATCH
from stitchview.command.keeping import COPIES, JOIN
from stitchview.command.packing import PACK, UNPACK
from stitchview.command.picturing import PICTURE, TOUR
from stitchview.command.planning import NEED, STASH
from stitchview.command.printing import PRINT
from stitchview.command.reading import READ
from stitchview.command.showing import SINCE

# Each command imports what it needs when it is run, so that the window does not wait for what only
# `convert` needs, nor `facts` for Qt.

_ABOUT = (
    "Follow a counted-thread chart. Without a command the window opens: `stitchview CHART` with that chart,"
    " `stitchview` alone with the last one."
)

COMMANDS = (
    FACTS,
    NEXT,
    PATCH,
    COUNT_OFF,
    SIZE,
    NEED,
    STASH,
    CARD,
    FINISH,
    TAUGHT,
    PRINT,
    SINCE,
    JOIN,
    COPIES,
    PACK,
    UNPACK,
    CHECK,
    CONVERT,
    PICTURE,
    TOUR,
    READ,
    MAKE_SAMPLE,
)
"""Every command, in the order in which help lists it."""


def run(arguments: Sequence[str]) -> int:
    """Run the command that the first of `arguments` names; gives the exit code.

    Raises `StitchviewError` when it cannot be done.
    """
    if not arguments or (arguments[0] not in _by_name() and not arguments[0].startswith("-")):
        if arguments and not _may_be_chart(arguments[0]):
            return _misused(_unknown(arguments[0]))
        return _window(list(arguments))
    parser = _parser()
    try:
        asked = parser.parse_args(arguments)
    except SystemExit as leaving:  # after --help, --version, or a sentence about what was wrong
        return int(leaving.code or 0)
    return _by_name()[asked.command].runs(asked)


def _may_be_chart(word: str) -> bool:
    """Whether a word that names no command can name a chart: it is there, or is written as files are."""
    return os.path.lexists(word) or bool(os.path.dirname(word) or os.path.splitext(word)[1])


def _unknown(word: str) -> str:
    import difflib

    alike = difflib.get_close_matches(word, _by_name(), 1)
    meant = f"; “{alike[0]}” may be meant" if alike else ""
    return f"“{word}” is neither a command nor a chart in this folder{meant}"


def _window(paths: list[str]) -> int:
    # What is loaded now stays, so looking it through for rubbish, again and again, only takes time.
    gc.disable()
    try:
        # The window comes on the screen all by itself: it does not wait for what fills it.
        from stitchview.ui.front import open_front

        front = open_front(paths)
        from stitchview.ui.run import run_window

        return run_window(front, several=len(paths) > 1)
    finally:
        gc.enable()


class _Parser(argparse.ArgumentParser):
    """A parser that says in one sentence what was wrong."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the arguments and leave."""
        raise SystemExit(_misused(message, self.prog))


def _misused(what: str, asked: str = "stitchview") -> int:
    sys.stderr.write(f"stitchview: {what[:1].upper()}{what[1:].rstrip('.')}; “{asked} --help” tells more.\n")
    return MISUSED


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="stitchview", description=_ABOUT)
    parser.add_argument("--version", action="version", version=f"stitchview {__version__}")
    several = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for command in COMMANDS:
        command.takes(several.add_parser(command.name, help=command.tells, description=command.tells))
    return parser


def _by_name() -> dict[str, Command]:
    return {command.name: command for command in COMMANDS}

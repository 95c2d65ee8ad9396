"""The commands: facts, next, patch, check, convert, picture and make-sample."""

import argparse
import gc
import json
import re
import sys
from collections.abc import Callable, Iterable, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from stitchview import __version__
from stitchview.errors import CommandError

if TYPE_CHECKING:
    from stitchview.chart.model import Chart
    from stitchview.done.layerfile import OpenedLayer

# Each command imports what it needs when it is run, so that the window does not wait for what only
# `convert` needs, nor `facts` for Qt.

_ABOUT = (
    "Follow a counted-thread chart. Without a command the window opens: `stitchview CHART` with that chart,"
    " `stitchview` alone with the last one."
)
FINE, FAULTY, MISUSED = 0, 1, 2

Arguments = argparse.Namespace


@dataclass(frozen=True, slots=True)
class Command:
    """One command: its name, what it does in a line, how it takes arguments, and how it is run."""

    name: str
    tells: str
    takes: Callable[[argparse.ArgumentParser], None]
    runs: Callable[[Arguments], int]


def run(arguments: Sequence[str]) -> int:
    """Run the command that the first of `arguments` names; gives the exit code.

    Raises `StitchviewError` when it cannot be done.
    """
    if not arguments or (arguments[0] not in _by_name() and not arguments[0].startswith("-")):
        return _window(list(arguments))
    parser = _parser()
    try:
        asked = parser.parse_args(arguments)
    except SystemExit as leaving:  # after --help, --version, or a sentence about what was wrong
        return int(leaving.code or 0)
    return _by_name()[asked.command].runs(asked)


def _window(paths: list[str]) -> int:
    # What is loaded now stays, so looking it through for rubbish, again and again, only takes time.
    gc.disable()
    try:
        from stitchview.ui.run import run_window

        return run_window(paths)
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


def _take_chart(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("chart", type=Path, metavar="CHART", help="a .svchart file or a chart folder")


def _take_facts(parser: argparse.ArgumentParser) -> None:
    _take_chart(parser)
    parser.add_argument("--json", action="store_true", help="for programs, as one JSON object")


def _facts(asked: Arguments) -> int:
    from stitchview.done.inventory import lines_of, members_of

    opened = _look_at(asked.chart)
    opened.layer.close()
    chart = opened.marks.chart
    if asked.json:
        print(json.dumps(members_of(chart, opened.tally, opened.notices), indent=2))
        return FINE
    return _tell(lines_of(chart, opened.tally), opened.notices)


def _look_at(path: Path) -> "OpenedLayer":
    """Open a chart and what is done of it, without touching the disk; its layer is to be closed."""
    from stitchview.chart.fileformat import read_chart
    from stitchview.done.layerfile import open_layer
    from stitchview.done.ownfolder import own_layers_folder

    return open_layer(path, read_chart(path), own_layers_folder(), look_only=True)


def _tell(lines: Iterable[str], notices: Iterable[str]) -> int:
    for line in lines:
        print(line)
    for notice in notices:
        sys.stderr.write(f"stitchview: {notice}\n")
    return FINE


def _take_next(parser: argparse.ArgumentParser) -> None:
    _take_chart(parser)
    parser.add_argument("--thread", required=True, metavar="CODE", help="the thread's code in the key")
    parser.add_argument("--json", action="store_true", help="for programs, as one JSON object")
    parser.add_argument(
        "--from", dest="place", type=_square, metavar="COL,ROW", help="from 1 (the marks made last)"
    )


def _next(asked: Arguments) -> int:
    from stitchview.follow.nextreport import last_place, lines_of, members_of, next_of
    from stitchview.follow.threadwork import ThreadWork

    opened = _look_at(asked.chart)
    with closing(opened.layer):
        place = asked.place or last_place(opened.history)
    told = next_of(ThreadWork(opened.marks), asked.thread, place)
    lines = [json.dumps(members_of(told), indent=2)] if asked.json else lines_of(told)
    return _tell(lines, opened.notices)


def _take_patch(parser: argparse.ArgumentParser) -> None:
    _take_chart(parser)
    parser.add_argument("patch", type=Path, metavar="PATCH.txt", help="rows of codes; . bare, ? not seen")
    parser.add_argument("--turned", action="store_true", help="the cloth may be turned")
    parser.add_argument("--one-wrong", action="store_true", help="one square may be wrong")
    parser.add_argument("--near", type=_square, metavar="COL,ROW", help="from 1 (the marks made last)")
    parser.add_argument("--json", action="store_true", help="for programs, as one JSON object")


def _patch(asked: Arguments) -> int:
    from stitchview.follow.clothpitch import pitch_of
    from stitchview.follow.finding import Looking, PlaceFinder
    from stitchview.follow.nextreport import last_place
    from stitchview.follow.patchreport import lines_of, members_of
    from stitchview.follow.patchtext import read_patch

    opened = _look_at(asked.chart)
    with closing(opened.layer):
        place = asked.near or last_place(opened.history)
    chart, looking = opened.marks.chart, Looking(turned=asked.turned, one_wrong=asked.one_wrong)
    patch = read_patch(asked.patch, chart.key)
    found = PlaceFinder(opened.marks).find(patch, place, looking, pitch_of(chart.cloth))
    lines = [json.dumps(members_of(found), indent=2)] if asked.json else lines_of(chart, found)
    return _tell(lines, opened.notices)


def _check(asked: Arguments) -> int:
    from stitchview.chart.fileformat import find_problems

    problems = find_problems(asked.chart)
    for problem in problems:
        place = f", {problem.entry}:" if problem.entry else ""
        print(f"“{asked.chart.name}”{place} {problem.what}. {problem.remedy}".rstrip())
    if not problems:
        print(f"“{asked.chart.name}” is a sound chart.")
    return FAULTY if problems else FINE


def _take_convert(parser: argparse.ArgumentParser) -> None:
    forms = ".svchart, a folder (no ending), .csv (its key beside it), or .png (one pixel a square)"
    parser.add_argument("source", type=Path, metavar="IN", help=f"the chart: {forms}")
    parser.add_argument("target", type=Path, metavar="OUT", help="what to write, in any of these forms")
    _take_replace(parser)


def _convert(asked: Arguments) -> int:
    from stitchview.chart.converting import read_any

    imported = read_any(asked.source)
    return _write(imported.chart, asked, imported.notes)


def _take_sample(parser: argparse.ArgumentParser) -> None:
    from stitchview.chart.model import MOST_COLUMNS, MOST_KEY_ENTRIES, MOST_ROWS

    parser.add_argument("target", type=Path, metavar="OUT.svchart", help="the chart to write")
    for name, usual, most in (
        ("columns", 120, f"1 to {MOST_COLUMNS}"),
        ("rows", 90, f"1 to {MOST_ROWS}"),
        ("threads", 28, f"1 to {MOST_KEY_ENTRIES}"),
        ("seed", 1, "any; another seed, another harbour"),
    ):
        parser.add_argument(f"--{name}", type=_whole, default=usual, metavar="N", help=f"{most} ({usual})")
    _take_replace(parser)


def _sample(asked: Arguments) -> int:
    from stitchview.chart.harbour.making import make_harbour

    _check_free(asked)
    return _write(make_harbour(asked.columns, asked.rows, asked.threads, asked.seed), asked, ())


def _whole(text: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"“{text}” is not a whole number") from None


def _take_replace(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--replace", action="store_true", help="replace what is there already")


def _write(chart: "Chart", asked: Arguments, notes: Sequence[str]) -> int:
    from stitchview.chart.converting import places_written, write_any

    _check_free(asked)
    left = write_any(chart, asked.target)
    names = " and ".join(f"“{place.name}”" for place in places_written(asked.target))
    threads = f"{len(chart.key):,} thread{'' if len(chart.key) == 1 else 's'}"
    print(f"Wrote {names}: {chart.columns:,} x {chart.rows:,} squares, {threads}.")
    for note in (*notes, *left):
        print(note)
    return FINE


def _check_free(asked: Arguments) -> None:
    """Refuse to write over what is there unless that was asked for; an empty folder is free."""
    from stitchview.chart.converting import places_written

    _refuse_taken(places_written(asked.target), asked)


def _refuse_taken(places: Sequence[Path], asked: Arguments) -> None:
    for place in places:
        empty_folder = place.is_dir() and not any(place.iterdir())
        if place.exists() and not empty_folder and not asked.replace:
            raise CommandError(f"“{place.name}” is there already.", "Choose another name, or add --replace.")


def _take_picture(parser: argparse.ArgumentParser) -> None:
    _take_chart(parser)
    parser.add_argument("target", type=Path, metavar="OUT.png", help="the picture to write")
    parser.add_argument(
        "--region", type=_region, metavar="COL,ROW,COLS,ROWS",
        help="only these squares, columns and rows counted from 1 at the top left",
    )  # fmt: skip
    parser.add_argument("--pitch", type=_whole, default=10, metavar="PX", help="pixels a square (10)")
    parser.add_argument("--look", choices=("paper", "colour"), default="colour", help="(colour)")
    parser.add_argument("--done", action="store_true", help="show what is done, as woven crosses")
    _take_replace(parser)


def _picture(asked: Arguments) -> int:
    from stitchview.canvas.looks import Look
    from stitchview.canvas.picture import PictureWish, application, draw_picture, save_png
    from stitchview.chart.area import Area
    from stitchview.chart.fileformat import read_chart
    from stitchview.done.marks import Marks

    if asked.target.suffix.lower() != ".png":
        raise CommandError(f"“{asked.target.name}” does not end in .png.", "Name a picture that does.")
    _refuse_taken([asked.target], asked)
    if asked.done:
        opened = _look_at(asked.chart)
        opened.layer.close()
    marks = opened.marks if asked.done else Marks(read_chart(asked.chart))
    look = Look(paper=asked.look == "paper", worked=asked.done)
    holding = application()
    region = Area(*asked.region) if asked.region else None
    image = draw_picture(marks, PictureWish(region, asked.pitch, look))
    save_png(image, asked.target)
    print(f"Wrote “{asked.target.name}”: {image.width():,} x {image.height():,} pixels.")
    del holding
    return FINE


def _square(text: str) -> tuple[int, int]:
    column, row = _numbers(text, "two", 2)
    return column - 1, row - 1


def _region(text: str) -> tuple[int, int, int, int]:
    column, row, columns, rows = _numbers(text, "four", 4)
    if min(column, row, columns, rows) < 1:
        raise argparse.ArgumentTypeError(f"“{text}” is no region; columns and rows are counted from 1")
    return column - 1, row - 1, columns, rows


def _numbers(text: str, told: str, count: int) -> list[int]:
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != count or not all(re.fullmatch("[+-]?[0-9]{1,9}", part) for part in parts):
        raise argparse.ArgumentTypeError(f"“{text}” is not {told} whole numbers with commas")
    return [int(part) for part in parts]


def _take_tour(parser: argparse.ArgumentParser) -> None:
    _take_chart(parser)
    parser.add_argument("into", type=Path, metavar="OUTDIR", help="the folder for the pictures")


def _tour(asked: Arguments) -> int:
    from stitchview.ui.tour import run_tour

    steps = run_tour(asked.chart, asked.into)
    print(f"Saved {steps} pictures and “tour.json” in “{asked.into}”.")
    return FINE


COMMANDS = (
    Command("facts", "Count a chart's stitches and what is done of them.", _take_facts, _facts),
    Command("next", "Say what is next of a thread, and what is left of it.", _take_next, _next),
    Command("patch", "Find every place where squares seen on the cloth fit.", _take_patch, _patch),
    Command("check", "Say whether a chart is sound, or all that is wrong with it.", _take_chart, _check),
    Command("convert", "Write a chart in another form.", _take_convert, _convert),
    Command("picture", "Draw a chart, or a part of it, as a PNG picture.", _take_picture, _picture),
    Command("tour", "Go through an evening without a screen, and picture every step.", _take_tour, _tour),
    Command("make-sample", "Make a sample chart of our harbour at dusk.", _take_sample, _sample),
)

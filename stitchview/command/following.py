"""The commands about where to stitch: next, patch and count-off."""

import argparse
import json
import re
from contextlib import closing
from pathlib import Path

from stitchview.command.cloth import pitch_in
from stitchview.command.command import Arguments, Command
from stitchview.command.taking import COUNTED, square, take_chart, take_json
from stitchview.command.telling import look_at, tell
from stitchview.errors import CommandError


def _take_next(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument("--thread", required=True, metavar="CODE", help="the thread's code in the key")
    take_json(parser)
    parser.add_argument(
        "--from", dest="place", type=square, metavar="COL,ROW", help="from 1 (the marks made last)"
    )


def _next(asked: Arguments) -> int:
    from stitchview.follow.nextreport import last_place, lines_of, members_of, next_of
    from stitchview.follow.threadwork import ThreadWork

    opened = look_at(asked.chart)
    with closing(opened.layer):
        place = asked.place or last_place(opened.history)
    told = next_of(ThreadWork(opened.marks), asked.thread, place, pitch_in(opened))
    lines = [json.dumps(members_of(told), indent=2)] if asked.json else lines_of(told)
    return tell(lines, opened.notices)


def _take_patch(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument("patch", type=Path, metavar="PATCH.txt", help="rows of codes; . bare, ? not seen")
    parser.add_argument("--turned", action="store_true", help="the cloth may be turned")
    parser.add_argument("--behind", action="store_true", help="they may be seen from behind")
    parser.add_argument("--one-wrong", action="store_true", help="one square may be wrong")
    parser.add_argument("--near", type=square, metavar="COL,ROW", help="from 1 (the marks made last)")
    take_json(parser)


def _patch(asked: Arguments) -> int:
    from stitchview.follow.finding import Looking, PlaceFinder
    from stitchview.follow.nextreport import last_place
    from stitchview.follow.patchreport import lines_of, members_of
    from stitchview.follow.patchtext import read_patch

    opened = look_at(asked.chart)
    with closing(opened.layer):
        place = asked.near or last_place(opened.history)
    chart, looking = opened.marks.chart, Looking(asked.turned, asked.behind, asked.one_wrong)
    patch = read_patch(asked.patch, chart.key)
    found = PlaceFinder(opened.marks).find(patch, place, looking, pitch_in(opened))
    lines = [json.dumps(members_of(found), indent=2)] if asked.json else lines_of(chart, found)
    return tell(lines, opened.notices)


def _take_count_off(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    for axis, along in (("column", "ROW"), ("row", "COLUMN")):
        parser.add_argument(
            f"--{axis}",
            dest=f"{axis}s",
            type=_count,
            action="append",
            default=[],
            metavar=f"LINE=CLOTH[@{along}]",
            help=f"the chart's {axis} LINE lies at {axis} CLOTH on the cloth, counted along {along.lower()};"
            f" with a minus as --{axis}=-3=-4",
        )
    parser.add_argument("--counted-from", choices=COUNTED, default="top-left", help="(top-left)")
    take_json(parser)


def _count_off(asked: Arguments) -> int:
    from stitchview.follow.countoff import Axis, CountedLine, count_off
    from stitchview.follow.countoffwords import CountWords
    from stitchview.follow.numbering import Numbering, index_of

    if not (asked.columns or asked.rows):
        raise CommandError("Nothing was counted.", "Give counts, as --column 120=121 or --row 40=41@12.")
    opened = look_at(asked.chart)
    opened.layer.close()
    chart, numbering = opened.marks.chart, Numbering(asked.counted_from)
    columns, rows = (chart.columns, numbering.across), (chart.rows, numbering.down)
    counts = []
    for axis, told, side, other in (
        (Axis.COLUMNS, asked.columns, columns, rows),
        (Axis.ROWS, asked.rows, rows, columns),
    ):
        for line, cloth, along in told:
            try:
                ends = index_of(line, *side), index_of(cloth, *side)
                counts.append(CountedLine(axis, *ends, None if along is None else index_of(along, *other)))
            except ValueError as error:
                raise CommandError(
                    "Counted from the centre, no column or row is 0.", "Count again."
                ) from error
    found, words = count_off(chart, counts, numbering), CountWords(chart, numbering)
    lines = [json.dumps(words.members(found), indent=2)] if asked.json else words.lines(found)
    return tell(lines, opened.notices)


def _count(text: str) -> tuple[int, int, int | None]:
    """A count as it is typed: "120=121" or "120=121@40"."""
    found = re.fullmatch(r"(-?[0-9]{1,7})=(-?[0-9]{1,7})(?:@(-?[0-9]{1,7}))?", text)
    if found is None:
        raise argparse.ArgumentTypeError(f"“{text}” is no count, as 120=121 or 120=121@40")
    line, cloth, along = found.groups()
    return int(line), int(cloth), None if along is None else int(along)


NEXT = Command("next", "Say what is next of a thread, and what is left of it.", _take_next, _next)
PATCH = Command("patch", "Find every place where squares seen on the cloth fit.", _take_patch, _patch)
COUNT_OFF = Command(
    "count-off", "Say between which lines a count on the cloth departs.", _take_count_off, _count_off
)

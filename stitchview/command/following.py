"""The commands about where to stitch: next and patch."""

import argparse
import json
from contextlib import closing
from pathlib import Path

from stitchview.command.cloth import pitch_in
from stitchview.command.command import Arguments, Command
from stitchview.command.taking import square, take_chart, take_json
from stitchview.command.telling import look_at, tell


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


NEXT = Command("next", "Say what is next of a thread, and what is left of it.", _take_next, _next)
PATCH = Command("patch", "Find every place where squares seen on the cloth fit.", _take_patch, _patch)

"""The cloth a command reckons with, as it is asked for, and the command size."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from stitchview.command.command import Arguments, Command
from stitchview.command.taking import number, pair, take_chart, take_json
from stitchview.command.telling import look_at, tell

if TYPE_CHECKING:
    from stitchview.done.layerfile import OpenedLayer
    from stitchview.done.sittings import Pauses
    from stitchview.follow.clothpitch import Pitch
    from stitchview.follow.habits import Habits
    from stitchview.plan.clothcount import ClothCount
    from stitchview.plan.clothreport import SizeWish
    from stitchview.plan.lessons import Lessons
    from stitchview.plan.piece import Piece

MAKINGS = ("frame", "hoop", "cushion")


def take_cloth(parser: argparse.ArgumentParser) -> None:
    """Take the count of the cloth, which is hers or the chart's where it is not given."""
    parser.add_argument(
        "--count",
        type=number,
        metavar="N",
        help="threads to the inch (as settled for the piece, or the chart's)",
    )
    parser.add_argument(
        "--count-down", type=number, metavar="N", help="threads to the inch the upright way (as --count)"
    )
    parser.add_argument("--over", type=int, metavar="N", help="threads a stitch goes over (1 with --count)")
    parser.add_argument("--per-10cm", action="store_true", help="the counts are to 10 cm, not to the inch")


def count_asked(asked: Arguments, piece: "Piece", opened: "OpenedLayer") -> "ClothCount":
    """The count asked for, else what is settled for the piece, else the chart's.

    Raises `CommandError` for one that no cloth has.
    """
    from stitchview.plan.clothcount import ClothCount

    settled = piece.count_on(opened.marks.chart.cloth)
    if asked.count is None:
        over = settled.over if asked.over is None else asked.over
        down = settled.down if asked.count_down is None else asked.count_down
        return ClothCount(settled.across, down, settled.per_100_mm, over)
    down = asked.count if asked.count_down is None else asked.count_down
    return ClothCount(asked.count, down, asked.per_10cm, 1 if asked.over is None else asked.over)


def piece_of(opened: "OpenedLayer") -> "Piece":
    """What is settled for the piece whose marks these are."""
    from stitchview.plan.piece import PIECE, piece_read

    record = opened.place.get(PIECE)
    return piece_read(record if isinstance(record, dict) else {})


def habits_of(piece: "Piece") -> "Habits":
    """Her habits on this piece, else as she usually works."""
    from stitchview.ui.habits import read_habits
    from stitchview.ui.settings import open_settings

    return piece.habits or read_habits(open_settings())


def usual_pauses() -> "Pauses":
    """How she takes minutes of quiet."""
    from stitchview.ui.preferences import read_preferences
    from stitchview.ui.settings import open_settings

    return read_preferences(open_settings()).pauses


def lessons_of(path: Path, opened: "OpenedLayer") -> "Lessons":
    """What finished pieces teach the piece whose marks these are."""
    from stitchview.done.ownfolder import own_layers_folder
    from stitchview.plan.finishedpieces import FinishedPieces
    from stitchview.plan.lessons import Lessons

    identity = opened.marks.chart.identity or str(path.resolve())
    return Lessons.for_piece(FinishedPieces(own_layers_folder()).pieces(), identity)


def pitch_in(opened: "OpenedLayer") -> "Pitch":
    """The size of a square on the cloth that is settled for the piece, else on the chart's."""
    return piece_of(opened).count_on(opened.marks.chart.cloth).pitch


def _take_size(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    take_cloth(parser)
    parser.add_argument("--for", dest="making", choices=MAKINGS, help="what becomes of it (frame)")
    parser.add_argument(
        "--margin", type=number, metavar="CM", help="bare cloth on each side, in cm (common practice)"
    )
    parser.add_argument(
        "--fits", type=pair, metavar="WxH", help="the window of a frame or the front of a cushion, in cm"
    )
    take_json(parser)


def _size(asked: Arguments) -> int:
    from stitchview.plan.clothreport import lines_of, members_of, size_report
    from stitchview.plan.lessonwords import expected_members, expected_words

    opened = look_at(asked.chart)
    opened.layer.close()
    chart, lessons = opened.marks.chart, lessons_of(asked.chart, opened)
    report = size_report(chart, _wish(asked, opened))
    count = report.wish.count
    if asked.json:
        learnt = {"as_before": expected_members(chart, count, lessons)}
        return tell([json.dumps(members_of(report) | learnt, indent=2)], opened.notices)
    lines, expected = lines_of(report), expected_words(chart, count, lessons)
    if expected:
        lines.insert(2, f"As it came out before: {expected}.")
    return tell(lines, opened.notices)


def _wish(asked: Arguments, opened: "OpenedLayer") -> "SizeWish":
    from stitchview.plan.clothreport import SizeWish
    from stitchview.plan.clothsize import USUAL_MARGINS, Making, Margin, Opening

    piece = piece_of(opened)
    making, margin, opening = piece.making, piece.margin, piece.opening
    if asked.making is not None:
        making = Making(asked.making)
        margin = USUAL_MARGINS[making]
    if asked.margin is not None:
        margin = Margin(asked.margin * 10, margin.hem_mm)
    if asked.fits is not None:
        opening = Opening(*(each * 10 for each in asked.fits))
    return SizeWish(count_asked(asked, piece, opened), making, margin, opening)


SIZE = Command(
    "size", "Say how large a chart comes out, what to cut, and where its middle is.", _take_size, _size
)

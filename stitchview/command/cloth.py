"""The cloth a command reckons with, as it is asked for, and the command size."""

import argparse
import json
from typing import TYPE_CHECKING

from stitchview.command.command import Arguments, Command
from stitchview.command.taking import number, pair, take_chart, take_json
from stitchview.command.telling import look_at, tell

if TYPE_CHECKING:
    from stitchview.done.layerfile import OpenedLayer
    from stitchview.follow.clothpitch import Pitch
    from stitchview.plan.clothcount import ClothCount
    from stitchview.plan.clothreport import SizeWish
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

    opened = look_at(asked.chart)
    opened.layer.close()
    report = size_report(opened.marks.chart, _wish(asked, opened))
    lines = [json.dumps(members_of(report), indent=2)] if asked.json else lines_of(report)
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

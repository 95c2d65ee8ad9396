"""The command print-sheets: a chart, or a part of it, as a PDF of large black symbols to print."""

import argparse
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from stitchview.command.card import PAPERS
from stitchview.command.cloth import pitch_in
from stitchview.command.command import Arguments, Command
from stitchview.command.taking import COUNTED, number, refuse_taken, region, take_chart, take_replace, whole
from stitchview.command.telling import look_at, tell
from stitchview.errors import CommandError

if TYPE_CHECKING:
    from stitchview.done.layerfile import OpenedLayer
    from stitchview.plan.printwish import PrintWish


def _take_print(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument("target", type=Path, metavar="OUT.pdf", help="the pages to write")
    parser.add_argument("--paper", choices=PAPERS, type=str.lower, default="a4", help="(a4)")
    size = parser.add_mutually_exclusive_group()
    size.add_argument("--square", type=number, metavar="MM", help="how wide a square is, in mm (4)")
    size.add_argument("--true-size", action="store_true", help="as large as on the cloth of the piece")
    parser.add_argument(
        "--region", type=region, metavar="COL,ROW,COLS,ROWS", help="only this part, counted from 1"
    )
    done = parser.add_mutually_exclusive_group()
    done.add_argument("--left-only", action="store_true", help="leave out what is done")
    done.add_argument("--grey-done", action="store_true", help="print what is done grey")
    parser.add_argument("--colour", action="store_true", help="on the threads' colours, not black on white")
    parser.add_argument("--overlap", type=whole, default=3, metavar="N", help="squares two sheets share (3)")
    parser.add_argument("--counted-from", choices=COUNTED, default="top-left", help="(top-left)")
    take_replace(parser)


def _print(asked: Arguments) -> int:
    from stitchview.canvas.printsheets import write_print
    from stitchview.chart.ownuse import OWN_USE
    from stitchview.plan.printplan import print_plan

    if asked.target.suffix.lower() != ".pdf":
        raise CommandError(f"“{asked.target.name}” does not end in .pdf.", "Name a file that does.")
    refuse_taken([asked.target], asked)
    opened = look_at(asked.chart)
    with closing(opened.layer):
        plan = print_plan(opened.marks, _wish(asked, opened))
    pages = write_print(plan, asked.target)
    told = "1 page" if pages == 1 else f"{pages} pages"
    sheets = "1 sheet" if len(plan.sheets) == 1 else f"{len(plan.sheets)} sheets"
    line = f"Wrote “{asked.target.name}”: {told}, the chart on {sheets}."
    return tell([line, OWN_USE], opened.notices)


def _wish(asked: Arguments, opened: "OpenedLayer") -> "PrintWish":
    from stitchview.chart.area import Area
    from stitchview.follow.numbering import Numbering
    from stitchview.plan.cardpages import PAPERS as PAPERS_BY_NAME
    from stitchview.plan.printwish import EASY_SQUARE, DoneAs, PrintWish, square_pitch

    side = EASY_SQUARE if asked.square is None else asked.square
    done = DoneAs.LEFT_OUT if asked.left_only else DoneAs.GREY if asked.grey_done else DoneAs.SAME
    return PrintWish(
        PAPERS_BY_NAME[asked.paper],
        pitch_in(opened) if asked.true_size else square_pitch(side),
        None if asked.region is None else Area(*asked.region),
        done,
        asked.colour,
        asked.overlap,
        Numbering(asked.counted_from),
    )


PRINT = Command(
    "print-sheets", "Write a chart as a PDF to print, with symbols for tired eyes.", _take_print, _print
)
"""The command that prints a chart."""

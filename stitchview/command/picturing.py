"""The commands that make pictures: picture and tour."""

import argparse
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from stitchview.command.command import Arguments, Command
from stitchview.command.taking import refuse_taken, region, take_chart, take_replace, whole
from stitchview.command.telling import look_at, tell
from stitchview.errors import CommandError

if TYPE_CHECKING:
    from PySide6.QtGui import QImage

    from stitchview.chart.area import Area
    from stitchview.done.marks import Marks

NOTHING_DONE = "Nothing is done yet, so all of it is pale; --finished shows it as it will be."


def _take_picture(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument("target", type=Path, metavar="OUT.png", help="the picture to write")
    parser.add_argument(
        "--region", type=region, metavar="COL,ROW,COLS,ROWS",
        help="only these squares, columns and rows counted from 1 at the top left",
    )  # fmt: skip
    parser.add_argument("--pitch", type=whole, metavar="PX", help="pixels a square (10)", default=10)
    parser.add_argument("--finished", action="store_true", help="the piece as it will be, all stitched")
    parser.add_argument(
        "--readable-chart", action="store_true",
        help="the chart with its symbols, for your own use: a bought chart is its maker’s work",
    )  # fmt: skip
    parser.add_argument("--look", choices=("paper", "colour"), help="of the readable chart (colour)")
    parser.add_argument("--done", action="store_true", help="show what is done on the readable chart")
    take_replace(parser)


def _picture(asked: Arguments) -> int:
    from stitchview.canvas.picture import application, save_png
    from stitchview.chart.area import Area
    from stitchview.chart.ownuse import READABLE
    from stitchview.done.marks import Marks

    _refuse_at_odds(asked)
    refuse_taken([asked.target], asked)
    opened = look_at(asked.chart)
    with closing(opened.layer):
        marks, notices = opened.marks, opened.notices
    if not asked.done and (asked.readable_chart or asked.finished):
        # The chart as it stands on the cloth, without what is done of it.
        marks, notices = Marks(marks.chart), ()
    holding, shown = application(), Area(*asked.region) if asked.region else None
    image = _readable(asked, marks, shown) if asked.readable_chart else _piece(asked, marks, shown)
    save_png(image, asked.target)
    lines = [f"Wrote “{asked.target.name}”: {image.width():,} x {image.height():,} pixels."]
    if asked.readable_chart:
        lines.append(READABLE)
    elif not asked.finished and not any(each.any() for each in marks.families):
        lines.append(NOTHING_DONE)
    del holding
    return tell(lines, notices)


def _refuse_at_odds(asked: Arguments) -> None:
    if asked.target.suffix.lower() != ".png":
        raise CommandError(f"“{asked.target.name}” does not end in .png.", "Name a picture that does.")
    if asked.readable_chart and asked.finished:
        raise CommandError("A chart is not stitched.", "Ask for --finished or for --readable-chart.")
    if not asked.readable_chart and (asked.look or asked.done):
        raise CommandError(
            f"{'--look' if asked.look else '--done'} is for the readable chart; a picture shows the piece.",
            "Leave it out, or add --readable-chart.",
        )


def _piece(asked: Arguments, marks: "Marks", shown: "Area | None") -> "QImage":
    from stitchview.canvas.clothpicture import ClothWish, finished_picture, now_picture

    wish = ClothWish(asked.pitch, area=shown)
    if asked.finished:
        return finished_picture(marks.chart, wish)
    return now_picture(marks.chart, marks.families, wish)


def _readable(asked: Arguments, marks: "Marks", shown: "Area | None") -> "QImage":
    from stitchview.canvas.looks import Look
    from stitchview.canvas.picture import PictureWish, draw_picture

    return draw_picture(
        marks, PictureWish(shown, asked.pitch, Look(paper=asked.look == "paper", worked=asked.done))
    )


def _take_tour(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument("into", type=Path, metavar="OUTDIR", help="the folder for the pictures")


def _tour(asked: Arguments) -> int:
    from stitchview.chart.ownuse import TOUR_READABLE
    from stitchview.ui.tour import run_tour

    steps = run_tour(asked.chart, asked.into)
    return tell([f"Saved {steps} pictures and “tour.json” in “{asked.into}”.", TOUR_READABLE], ())


PICTURE = Command("picture", "Draw the piece, or a part of it, as a PNG picture.", _take_picture, _picture)
TOUR = Command("tour", "Go through an evening without a screen, and picture every step.", _take_tour, _tour)

"""The commands that make pictures: picture and tour."""

import argparse
from pathlib import Path

from stitchview.command.command import FINE, Arguments, Command
from stitchview.command.taking import refuse_taken, region, take_chart, take_replace, whole
from stitchview.command.telling import look_at
from stitchview.errors import CommandError


def _take_picture(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument("target", type=Path, metavar="OUT.png", help="the picture to write")
    parser.add_argument(
        "--region", type=region, metavar="COL,ROW,COLS,ROWS",
        help="only these squares, columns and rows counted from 1 at the top left",
    )  # fmt: skip
    parser.add_argument("--pitch", type=whole, default=10, metavar="PX", help="pixels a square (10)")
    parser.add_argument("--look", choices=("paper", "colour"), default="colour", help="(colour)")
    parser.add_argument("--done", action="store_true", help="show what is done, as woven crosses")
    take_replace(parser)


def _picture(asked: Arguments) -> int:
    from stitchview.canvas.looks import Look
    from stitchview.canvas.picture import PictureWish, application, draw_picture, save_png
    from stitchview.chart.area import Area
    from stitchview.chart.fileformat import read_chart
    from stitchview.done.marks import Marks

    if asked.target.suffix.lower() != ".png":
        raise CommandError(f"“{asked.target.name}” does not end in .png.", "Name a picture that does.")
    refuse_taken([asked.target], asked)
    if asked.done:
        opened = look_at(asked.chart)
        opened.layer.close()
    marks = opened.marks if asked.done else Marks(read_chart(asked.chart))
    look = Look(paper=asked.look == "paper", worked=asked.done)
    holding = application()
    shown = Area(*asked.region) if asked.region else None
    image = draw_picture(marks, PictureWish(shown, asked.pitch, look))
    save_png(image, asked.target)
    print(f"Wrote “{asked.target.name}”: {image.width():,} x {image.height():,} pixels.")
    del holding
    return FINE


def _take_tour(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument("into", type=Path, metavar="OUTDIR", help="the folder for the pictures")


def _tour(asked: Arguments) -> int:
    from stitchview.ui.tour import run_tour

    steps = run_tour(asked.chart, asked.into)
    print(f"Saved {steps} pictures and “tour.json” in “{asked.into}”.")
    return FINE


PICTURE = Command("picture", "Draw a chart, or a part of it, as a PNG picture.", _take_picture, _picture)
TOUR = Command("tour", "Go through an evening without a screen, and picture every step.", _take_tour, _tour)

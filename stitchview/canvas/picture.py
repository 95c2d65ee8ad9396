"""A picture of a chart, or of a part of it, as a PNG file."""

import os
import sys
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QRect
from PySide6.QtGui import QGuiApplication, QImage, QPainter

from stitchview.canvas.items import ItemStates
from stitchview.canvas.looks import Look
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.showing import Showing
from stitchview.canvas.view import LARGEST_PITCH, View
from stitchview.chart.area import Area
from stitchview.done.marks import Marks
from stitchview.errors import CommandError
from stitchview.safefile import write_bytes

MOST_PIXELS = 200_000_000
MARGIN = 12


@dataclass(frozen=True, slots=True)
class PictureWish:
    """What the picture shows: an area (None for all), whole pixels a square, and the look."""

    area: Area | None = None
    pitch: int = 10
    look: Look = Look()  # noqa: RUF009 (frozen, so one default can be shared)


def application() -> QGuiApplication:
    """Give Qt's application, made without a screen if there is none yet: fonts and pictures need one."""
    running = QGuiApplication.instance()
    if isinstance(running, QGuiApplication):
        return running
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    return QGuiApplication(sys.argv[:1])


def draw_picture(marks: Marks, wish: PictureWish) -> QImage:
    """Draw a chart with its marks as the canvas does; raises `CommandError` for what cannot be drawn.

    The whole chart gets a margin with its border and centre arrows; a part of it gets none.
    """
    chart = marks.chart
    area = (wish.area or chart.area).clipped(chart.area)
    if area.empty:
        raise CommandError(
            "The region lies outside the chart.",
            f"The chart has {chart.columns} columns and {chart.rows} rows.",
        )
    if not 1 <= wish.pitch <= LARGEST_PITCH:
        raise CommandError(
            f"A square cannot be {wish.pitch} pixels wide.", f"Ask for 1 to {LARGEST_PITCH} pixels."
        )
    margin = MARGIN if area == chart.area else 0
    width, height = (size * wish.pitch + 2 * margin for size in (area.columns, area.rows))
    if width * height > MOST_PIXELS:
        raise CommandError(
            f"The picture would have {width:,} x {height:,} pixels, which is too many.",
            "Ask for a smaller region or fewer pixels a square.",
        )
    view = View(
        chart.columns, chart.rows, width, height, wish.pitch,
        area.column * wish.pitch - margin, area.row * wish.pitch - margin,
    )  # fmt: skip
    image = QImage(width, height, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    states = ItemStates(marks.parts, marks.lines, marks.points)
    ChartPainter(chart, marks.squares, states).paint(
        painter, view, Showing(wish.look), QRect(0, 0, width, height)
    )
    painter.end()
    return image


def save_png(image: QImage, path: Path) -> None:
    """Write a picture as PNG, in one step."""
    write_bytes(path, png_of(image))


def png_of(image: QImage) -> bytes:
    """The bytes of a picture as PNG."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]
    return bytes(buffer.data().data())

"""An overview in a window beside its canvas, and what it asks for."""

from dataclasses import dataclass, field

import numpy as np
from PySide6.QtCore import QEvent, QObject, QRect
from PySide6.QtGui import QImage, QPaintEvent
from pytestqt.qtbot import QtBot

from stitchview.canvas.overview import Overview
from stitchview.chart.area import Area
from stitchview.chart.colour import WHITE, Colour
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.change import Change
from stitchview.done.marks import change_to
from stitchview.done.shapes import Takes, rectangle
from tests.canvas.stage import Picture, Stage, pixels_of

SIDE = 200


@dataclass
class Guide:
    """Looks where the overview asks, as the window does."""

    stage: Stage
    asked: list[tuple[float, float]] = field(default_factory=list)

    def look_at(self, x: float, y: float) -> None:
        self.asked.append((x, y))
        self.stage.canvas.centre_on(x, y)


class Corner:
    """A canvas and, in a window of its own, its overview."""

    def __init__(self, stage: Stage, side: int = SIDE) -> None:
        self.stage, self.guide = stage, Guide(stage)
        self.overview = Overview(stage.canvas, self.guide)
        self.overview.resize(side, side)
        self.overview.show()

    def mark(self, area: Area, state: int = 1) -> Change:
        chart = self.stage.chart
        change = change_to(self.stage.marks, rectangle(chart, area, Takes()), state)
        assert change is not None
        self.stage.apply(change)
        self.overview.marks_changed(change)
        return change

    def look(self) -> None:
        """Tell the overview of the canvas's view, as the window does."""
        self.overview.view_changed(self.stage.canvas.view)

    def shown(self, focus: bool = False) -> Picture:
        """What stands in the window's memory, as a rule without the frame of the keyboard's focus."""
        if not focus:
            self.overview.clearFocus()
        self.stage.turn()
        device = self.overview.backingStore().paintDevice()
        assert isinstance(device, QImage)
        return pixels_of(device)


def ready(qtbot: QtBot, corner: Corner) -> Picture:
    """Wait until the overview has caught up, and give what it shows."""
    qtbot.waitUntil(lambda: corner.overview.up_to_date)
    return corner.shown()


class PaintWatch(QObject):
    """Takes note of the rectangles that a widget draws anew."""

    def __init__(self, watched: Overview) -> None:
        super().__init__(watched)
        self.rooms: list[QRect] = []
        watched.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QPaintEvent):
            self.rooms.append(event.rect())
        return super().eventFilter(watched, event)


def a_red_corner() -> Chart:
    """A chart of 40 x 20 white squares with 10 x 5 red ones at the bottom right."""
    squares = np.ones((20, 40), np.uint16)
    squares[15:, 30:] = 2
    key = (
        KeyEntry("w", Symbol("w"), "Sample cotton 1", colour=WHITE),
        KeyEntry("r", Symbol("r"), "Sample cotton 2", colour=Colour(255, 0, 0)),
    )
    return Chart(squares, key)

"""A ruler in a window: what moves it, and whether it shows what a fresh one would."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from hypothesis import strategies as st
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from stitchview.canvas.looks import Look
from stitchview.canvas.rulers import Ruler
from stitchview.canvas.view import View
from stitchview.chart.turning import Turn
from stitchview.follow.band import Band, Edge
from stitchview.follow.numbering import Numbering
from stitchview.follow.span import Span
from tests.canvas.stage import Picture, Step, close, pixels_of

LENGTH = 240
CORNER = 7


@dataclass
class Told:
    """What a ruler asked for."""

    edges: list[tuple[Edge, int]] = field(default_factory=list)
    moves: list[tuple[int | None, int | None]] = field(default_factory=list)
    calls: list[tuple[int, int]] = field(default_factory=list)

    def band_edge_dragged(self, edge: Edge, line: int) -> None:
        self.edges.append((edge, line))

    def band_moved_to(self, first_column: int | None, first_row: int | None) -> None:
        self.moves.append((first_column, first_row))

    def band_called_to(self, column: int, row: int) -> None:
        self.calls.append((column, row))


class RulerStage:
    """One ruler, and the state it was told of."""

    def __init__(self, orientation: Qt.Orientation, columns: int = 83, rows: int = 64) -> None:
        self.orientation = orientation
        self.told = Told()
        self.view = View(columns, rows, 1, 1, 8)
        self.numbering, self.look_now = Numbering.TOP_LEFT, Look()
        self.band_now: Band | None = None
        self.pointed: tuple[int, int] | None = None
        self.ruler = Ruler(orientation, self.told)
        self.window = self._framed(self.ruler)
        ratio = self.window.devicePixelRatioF()
        size = math.floor(LENGTH * ratio + 0.5)
        self.view = self.view.resized(size, size)
        self._tell(self.ruler)
        self.window.show()
        self.turn()

    def close(self) -> None:
        close(self.window)

    def take(self, steps: Sequence[Step]) -> None:
        for step in steps:
            getattr(self, step.name)(*step.numbers)

    def turn(self) -> None:
        QCoreApplication.processEvents()

    def pan(self, right: float, down: float) -> None:
        self.view = self.view.panned(int(right), int(down))
        self.ruler.set_view(self.view)

    def zoom(self, pitch: float) -> None:
        self.view = self.view.zoomed(pitch, 60, 60)
        self.ruler.set_view(self.view)

    def turn_hoop(self, quarters: float, mirrored: float) -> None:
        self.view = self.view.turned(Turn(int(quarters), bool(mirrored)))
        self.ruler.set_view(self.view)

    def count(self, number: float) -> None:
        self.numbering = tuple(Numbering)[int(number)]
        self.ruler.set_numbering(self.numbering)

    def look(self, night: float) -> None:
        self.look_now = Look(night=bool(night))
        self.ruler.set_look(self.look_now)

    def band(self, first: float, count: float) -> None:
        span = Span(int(first), int(count))
        self.band_now = Band(rows=span, columns=span)
        self.ruler.set_band(self.band_now)

    def unband(self) -> None:
        self.band_now = None
        self.ruler.set_band(None)

    def point(self, column: float, row: float) -> None:
        self.pointed = (int(column), int(row))
        self.ruler.point_at(self.pointed)

    def unpoint(self) -> None:
        self.pointed = None
        self.ruler.point_at(None)

    def shown(self) -> Picture:
        """What stands in the window's memory."""
        self.turn()
        device = self.window.backingStore().paintDevice()
        assert isinstance(device, QImage)
        return pixels_of(device)

    def fresh(self) -> Picture:
        """What a new ruler in the same state draws at once."""
        ruler = Ruler(self.orientation, Told())
        window = self._framed(ruler)
        self._tell(ruler)
        picture = pixels_of(window.grab().toImage())
        close(window)
        return picture

    def difference(self) -> int:
        """How many pixels are not as a new ruler would have them."""
        return int(np.count_nonzero(self.shown() != self.fresh()))

    def _tell(self, ruler: Ruler) -> None:
        ruler.set_view(self.view)
        ruler.set_numbering(self.numbering)
        ruler.set_look(self.look_now)
        ruler.set_band(self.band_now)
        ruler.point_at(self.pointed)

    def _framed(self, ruler: Ruler) -> QWidget:
        window = QWidget()
        ruler.setParent(window)
        upright = self.orientation == Qt.Orientation.Vertical
        hint = ruler.sizeHint()
        size = (hint.width(), LENGTH) if upright else (LENGTH, hint.height())
        ruler.setGeometry(CORNER, CORNER, *size)
        window.resize(LENGTH + 2 * CORNER, LENGTH + 2 * CORNER)
        return window


ORIENTATIONS = st.sampled_from((Qt.Orientation.Horizontal, Qt.Orientation.Vertical))
_PIXELS, _PLACE = st.integers(-60, 60), st.integers(-2, 90)


def _step(name: str, *numbers: st.SearchStrategy[float]) -> st.SearchStrategy[Step]:
    return st.builds(Step, st.just(name), st.tuples(*numbers))


HAPPENINGS = st.lists(
    st.one_of(
        _step("pan", _PIXELS, _PIXELS),
        _step("pan", *2 * [st.integers(-4, 4).map(lambda n: n * 15)]),
        _step("pan", *2 * [st.integers(-4, 4).map(lambda n: n * 14)]),
        _step("zoom", st.sampled_from((0.3, 1, 2, 4, 7, 13, 25, 60))),
        _step("count", st.integers(0, 4)),
        _step("turn_hoop", st.integers(0, 3), st.integers(0, 1)),
        _step("look", st.integers(0, 1)),
        _step("band", st.integers(0, 60), st.integers(1, 20)),
        _step("unband"),
        _step("point", _PLACE, _PLACE),
        _step("unpoint"),
        _step("turn"),
    ),
    max_size=15,
)


def keeps_its_promise(orientation: Qt.Orientation, columns: int, happenings: Sequence[Step]) -> None:
    """However a ruler came to what it shows, it shows it as a new one would."""
    stage = RulerStage(orientation, columns, columns)
    try:
        stage.take(happenings)
        assert stage.difference() == 0, happenings
    finally:
        stage.close()

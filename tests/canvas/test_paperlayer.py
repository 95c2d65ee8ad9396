"""The picture of the paper lies on its squares, pixel for pixel, under band and marks."""

import io
import itertools
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from stitchview.canvas.items import ItemStates
from stitchview.canvas.looks import FADED_SHARE, Look, Shown
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.showing import Showing
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.model import Chart, Sheet
from stitchview.done.marks import Marks

COLUMNS, ROWS = 53, 41
SHEET = Area(3, 2, 40, 37)
RandomChart = Callable[[int, int, int, int], Chart]
Picture = NDArray[np.uint32]


def colour_of(column: int, row: int) -> tuple[int, int, int]:
    """The colour of the paper at a square of the chart, another one for each."""
    return 40 + column * 4, 30 + row * 5, (column * 7 + row * 11) % 200 + 20


@pytest.fixture
def chart(random_chart: RandomChart) -> Chart:
    """A chart of which one sheet has a picture: each of its squares a colour of its own, 6 pixels wide."""
    told = [
        [colour_of(SHEET.column + x, SHEET.row + y) for x in range(SHEET.columns)] for y in range(SHEET.rows)
    ]
    pixels = np.repeat(np.repeat(np.array(told, np.uint8), 6, axis=0), 6, axis=1)
    content = io.BytesIO()
    Image.fromarray(pixels).save(content, "PNG")
    sheet = Sheet("Sheet", SHEET, "pictures/sheets/1.png")
    chart = random_chart(COLUMNS, ROWS, 6, 2)
    return replace(chart, sheets=(sheet,), attachments={sheet.picture: content.getvalue()})


def painted(chart: Chart, look: Look, view: View, pieces: int = 1, lit: Area | None = None) -> Picture:
    """The chart drawn in so many pieces side by side, (height, width) RGB32."""
    marks, states = Marks(chart), np.zeros((ROWS, COLUMNS), np.uint8)
    states[4, 5:9] = 1
    painter_of = ChartPainter(chart, states, ItemStates(marks.parts, marks.lines, marks.points))
    image = QImage(view.width, view.height, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    edges = np.linspace(0, view.width, pieces + 1).astype(int).tolist()
    for left, right in itertools.pairwise(edges):
        showing = Showing(look=look, lit=lit)
        painter_of.paint(painter, view, showing, QRect(left, 0, right - left, view.height))
    painter.end()
    return np.frombuffer(image.constBits(), np.uint32).reshape(view.height, -1)[:, : view.width].copy()


def middle(picture: Picture, view: View, square: tuple[int, int]) -> tuple[int, ...]:
    """The colour in the middle of a square."""
    x, y = view.pixel_of(square[0] + 0.5, square[1] + 0.5)
    pixel = int(picture[round(y), round(x)])
    return pixel >> 16 & 255, pixel >> 8 & 255, pixel & 255


def view_of(pitch: int) -> View:
    """The whole chart with so many pixels a square."""
    return View(COLUMNS, ROWS, COLUMNS * pitch, ROWS * pitch).zoomed(pitch, 0, 0)


def near(one: tuple[int, ...], other: tuple[float, ...], by: float = 2) -> bool:
    """Whether two colours are the same but for rounding."""
    return max(abs(a - b) for a, b in zip(one, other, strict=True)) <= by


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("pitch", [6, 12, 9, 31])
def test_each_square_shows_its_own_paper(chart: Chart, pitch: int) -> None:
    """At any size the middle of every square has the colour of the paper there; no square is shifted."""
    view = view_of(pitch)
    picture = painted(chart, Look(shown=Shown.PICTURE), view)
    for column in range(SHEET.column, SHEET.right, 3):
        for row in range(SHEET.row, SHEET.bottom, 3):
            if row != 4 or not 5 <= column < 9:
                assert near(middle(picture, view, (column, row)), colour_of(column, row), 3)


@pytest.mark.usefixtures("qapp")
def test_beside_the_sheets_symbols_go_on(chart: Chart) -> None:
    """Where no sheet with a picture lies, the squares are drawn as ever."""
    view = view_of(12)
    paper, symbols = (painted(chart, Look(shown=shown), view) for shown in (Shown.PICTURE, Shown.SYMBOLS))
    assert (paper[:, : 2 * 12] == symbols[:, : 2 * 12]).all()
    assert (paper[:, SHEET.right * 12 + 2 :] == symbols[:, SHEET.right * 12 + 2 :]).all()
    assert (paper != symbols).any()


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("shown", [Shown.PICTURE, Shown.BOTH])
@pytest.mark.parametrize("worked", [False, True])
def test_drawn_in_pieces_it_is_the_same(chart: Chart, shown: Shown, worked: bool) -> None:
    """However the window is exposed, as scrolling does it, the picture is the same pixel for pixel."""
    for pitch in (7, 16):
        view = view_of(pitch).panned(13, 9)
        look, lit = Look(shown=shown, worked=worked), Area(10, 3, 20, 20)
        whole = painted(chart, look, view, lit=lit)
        assert (painted(chart, look, view, 7, lit=lit) == whole).all()


@pytest.mark.usefixtures("qapp")
def test_done_squares_are_pale_and_others_not(chart: Chart) -> None:
    """A done square has faded towards paper, as in the cleared look of symbols."""
    view = view_of(16)
    picture = painted(chart, Look(shown=Shown.PICTURE), view)
    own, ground = colour_of(6, 4), (255, 255, 255)
    wanted = tuple(a + (b - a) * FADED_SHARE for a, b in zip(own, ground, strict=True))
    assert near(middle(picture, view, (6, 4)), wanted)


@pytest.mark.usefixtures("qapp")
def test_worked_squares_stay_as_they_are_worked(chart: Chart) -> None:
    """In the worked look a done square is its cross, not paper."""
    view = view_of(16)
    paper, symbols = (
        painted(chart, Look(shown=shown, worked=True), view) for shown in (Shown.PICTURE, Shown.SYMBOLS)
    )
    here = np.s_[4 * 16 + 2 : 5 * 16 - 2, 6 * 16 + 2 : 7 * 16 - 2]
    assert (paper[here] == symbols[here]).all()


@pytest.mark.usefixtures("qapp")
def test_paper_outside_the_band_is_dimmed(chart: Chart) -> None:
    """Outside the band the paper is mixed with the dimming colour by as much as everything else."""
    view, look = view_of(16), Look(shown=Shown.PICTURE, dim=0.5)
    picture = painted(chart, look, view, lit=Area(0, 0, COLUMNS, 10))
    dim = (look.ground.dim.red, look.ground.dim.green, look.ground.dim.blue)
    wanted = tuple((a + b) / 2 for a, b in zip(colour_of(20, 25), dim, strict=True))
    assert near(middle(picture, view, (20, 25)), wanted)
    assert near(middle(picture, view, (20, 8)), colour_of(20, 8))


@pytest.mark.usefixtures("qapp")
def test_both_are_laid_over_each_other(chart: Chart) -> None:
    """With both, each pixel inside a square is halfway between the symbols and the paper."""
    view = view_of(16)
    parts = [
        painted(chart, Look(shown=shown), view).view(np.uint8).reshape(view.height, view.width, 4).astype(int)
        for shown in (Shown.SYMBOLS, Shown.PICTURE, Shown.BOTH)
    ]
    inner = np.s_[21 * 16 + 2 : 22 * 16 - 2, 23 * 16 + 2 : 24 * 16 - 2, :3]
    symbols, paper, both = (part[inner] for part in parts)
    assert np.abs(both - (symbols + paper) / 2).max() <= 1


@pytest.mark.usefixtures("qapp")
def test_a_damaged_picture_is_blank_paper(chart: Chart) -> None:
    """A picture that cannot be drawn leaves white squares; nothing breaks."""
    (name, content) = next(iter(chart.attachments.items()))
    for broken in (b"", b"\x89PNG", content[:60]):
        view = view_of(12)
        picture = painted(replace(chart, attachments={name: broken}), Look(shown=Shown.PICTURE), view)
        assert middle(picture, view, (20, 20)) == (255, 255, 255)


def test_by_night_paper_does_not_glare(chart: Chart, qapp: QApplication) -> None:
    """White paper is darker by night, and colours keep their order."""
    view = view_of(12)
    night = middle(painted(chart, Look(shown=Shown.PICTURE, night=True), view), view, (20, 20))
    assert all(0.5 * own <= shown < 0.8 * own for own, shown in zip(colour_of(20, 20), night, strict=True))

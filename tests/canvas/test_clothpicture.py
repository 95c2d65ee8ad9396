"""Pictures for showing: every pixel is a stitch in its colour or cloth, and no symbol is ever in them."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from stitchview.canvas.clothpicture import ClothWish, new_picture, now_picture
from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart, Symbol
from stitchview.chart.stitches import Lines, Parts, Points
from stitchview.done.change import DONE
from stitchview.done.marks import open_states
from stitchview.done.timeline import Arrays
from stitchview.errors import CommandError

CLOTH = Colour(250, 240, 230)


def pixels_of(image: QImage) -> NDArray[np.int64]:
    plain = image.convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(plain.constBits(), np.uint8).reshape(plain.height(), plain.bytesPerLine())
    return rows[:, : 3 * plain.width()].reshape(plain.height(), plain.width(), 3).astype(np.int64)


def half_done(chart: Chart, share: float) -> Arrays:
    states = open_states(chart)
    rows = int(chart.rows * share)
    states[0][:rows] = np.where(chart.squares[:rows] != 0, DONE, 0)
    for each, far in zip(
        states[1:], (chart.parts.rows, chart.lines.y1 // 2, chart.points.y // 2), strict=True
    ):
        each[far < rows] = DONE
    return states


def only_squares(chart: Chart) -> Chart:
    return replace(chart, parts=Parts(), lines=Lines(), points=Points())


@pytest.mark.parametrize("pitch", [1, 3, 5])
def test_small_squares_are_their_colours(
    qapp: QApplication, small_chart: Callable[[], Chart], pitch: int
) -> None:
    """Against Pillow: one pixel a square, enlarged without smoothing; what is to do is nearly cloth."""
    chart = only_squares(small_chart())
    states = half_done(chart, 0.5)
    drawn = pixels_of(now_picture(chart, states, ClothWish(pitch, CLOTH), rest=0.1))
    plain = np.empty((*chart.squares.shape, 3), np.uint8)
    for (row, column), number in np.ndenumerate(chart.squares):
        thread = chart.key[number - 1].colour if number else CLOTH
        share = 1.0 if states[0][row, column] == DONE else 0.1
        plain[row, column] = [
            round(cloth + (own - cloth) * share)
            for own, cloth in zip(
                (thread.red, thread.green, thread.blue), (CLOTH.red, CLOTH.green, CLOTH.blue), strict=True
            )
        ]
    expected = Image.fromarray(plain).resize(
        (chart.columns * pitch, chart.rows * pitch), Image.Resampling.NEAREST
    )
    assert np.array_equal(drawn, np.asarray(expected, np.int64))


@pytest.mark.parametrize("pitch", [4, 9, 24])
def test_symbols_leave_no_trace(qapp: QApplication, small_chart: Callable[[], Chart], pitch: int) -> None:
    """With other symbols in the key every pixel is the same: the chart is not given away."""
    chart = small_chart()
    other = replace(chart, key=tuple(replace(entry, symbol=Symbol("#")) for entry in chart.key))
    states = half_done(chart, 0.5)
    wish = ClothWish(pitch)
    assert now_picture(chart, states, wish) == now_picture(other, states, wish)
    assert new_picture(chart, open_states(chart), states, wish) == new_picture(
        other, open_states(chart), states, wish
    )


def test_what_is_new_stands_out_from_what_was_there(
    qapp: QApplication, small_chart: Callable[[], Chart]
) -> None:
    """New squares have their whole colour, earlier ones less, those to do least."""
    chart = only_squares(small_chart())
    before, after = half_done(chart, 0.3), half_done(chart, 0.7)
    drawn = pixels_of(new_picture(chart, before, after, ClothWish(1, CLOTH)))
    cloth = np.array((CLOTH.red, CLOTH.green, CLOTH.blue))
    colours = np.array([(e.colour.red, e.colour.green, e.colour.blue) for e in chart.key])
    away = np.abs(drawn - cloth).sum(axis=2)
    for (row, column), number in np.ndenumerate(chart.squares):
        full = np.abs(colours[number - 1] - cloth).sum() if number else 0
        new = after[0][row, column] == DONE and before[0][row, column] != DONE
        if new:
            assert away[row, column] == full
        elif full > 40:
            assert away[row, column] < full / 2


def test_every_kind_of_stitch_is_on_the_cloth(qapp: QApplication, small_chart: Callable[[], Chart]) -> None:
    """Taking away parts, lines or knots changes the picture: none is forgotten."""
    chart = small_chart()
    states = tuple(np.ones_like(each) * DONE for each in open_states(chart))
    whole = now_picture(chart, (states[0] * (chart.squares != 0), *states[1:]), ClothWish(12), rest=0)
    for family in (1, 2, 3):
        less = [each.copy() for each in (states[0] * (chart.squares != 0), *states[1:])]
        less[family][:] = 0
        assert now_picture(chart, (less[0], less[1], less[2], less[3]), ClothWish(12), rest=0) != whole


@pytest.mark.parametrize("pitch", [0, -3, 41])
def test_a_size_that_cannot_be_is_refused(
    qapp: QApplication, small_chart: Callable[[], Chart], pitch: int
) -> None:
    """One sentence says what sizes there are."""
    with pytest.raises(CommandError, match="cannot be"):
        now_picture(small_chart(), open_states(small_chart()), ClothWish(pitch))


def test_a_picture_of_too_many_pixels_is_refused(qapp: QApplication) -> None:
    """Before any memory is taken."""
    chart = Chart(np.zeros((4000, 4000), np.uint16), ())
    with pytest.raises(CommandError, match="80,000 x 80,000 pixels"):
        now_picture(chart, open_states(chart), ClothWish(20))

"""The chart as it will look on uneven cloth."""

import pytest
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QApplication

from stitchview.canvas.proportions import outline_in, square_picture, stretched
from stitchview.follow.clothpitch import Pitch
from tests.canvas.overviewstage import a_red_corner


@pytest.mark.parametrize("room", [(200, 200), (300, 90), (50, 400)])
def test_the_outline_has_the_proportions_of_the_cloth(room: tuple[int, int]) -> None:
    """It fills its room one way, and its sides are as millimetres on the cloth, to half a pixel."""
    outline = outline_in(40, 20, Pitch(25.4 / 14, 25.4 / 13), QSize(*room))
    assert outline.width == room[0] or outline.height == room[1]
    assert outline.width <= room[0]
    assert outline.height <= room[1]
    ratio = (20 / 13) / (40 / 14)
    assert abs(outline.height - outline.width * ratio) <= 1


def test_the_picture_is_stretched_and_keeps_its_places(qapp: QApplication) -> None:
    """The red corner of the chart is in the same corner, on cloth twice as long as wide as well."""
    chart = a_red_corner()
    plain = square_picture(chart, 200)
    assert (plain.width(), plain.height()) == (200, 100)
    outline = outline_in(chart.columns, chart.rows, Pitch(1, 2), QSize(200, 200))
    picture = stretched(plain, outline)
    assert (picture.width(), picture.height()) == (200, 200)
    assert picture.pixelColor(190, 190).name() == "#ff0000"
    assert picture.pixelColor(10, 10).name() == "#ffffff"

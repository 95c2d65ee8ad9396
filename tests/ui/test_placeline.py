"""The line under the chart: it always answers where she is, never jumps, and never says kept too early."""

import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QObject, QRect
from PySide6.QtGui import QColor, QFont
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from stitchview.canvas.desk import Desk, Keeping
from stitchview.canvas.looks import Look
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.area import Area
from stitchview.chart.model import Chart, Sheet
from stitchview.done.change import DONE, Selection
from stitchview.done.counts import Progress
from stitchview.follow.numbering import Numbering
from stitchview.follow.place import place_of, sentence
from stitchview.ui.bandwork import InBand
from stitchview.ui.placeline import NOWHERE, PlaceLine
from stitchview.ui.segment import Segment
from stitchview.ui.theme import Theme, apply_theme, shades_of

MakeDesk = Callable[[Chart], Desk]


@pytest.fixture
def line(qtbot: QtBot) -> PlaceLine:
    """The line in a window of usual width."""
    line = PlaceLine()
    qtbot.addWidget(line)
    line.resize(1400, 30)
    line.show()
    return line


def segments(line: PlaceLine) -> list[Segment]:
    """All parts of the line."""
    return line.findChildren(Segment)


def places(line: PlaceLine) -> list[QRect]:
    """Where the parts stand."""
    return [segment.geometry() for segment in segments(line)]


def test_it_says_where_she_is(line: PlaceLine, small_chart: Callable[[], Chart]) -> None:
    """Column, row, block, sheet and thread, short on the line and in full in the tip."""
    place = place_of(small_chart(), 6, 2, Numbering.TOP_LEFT)
    assert place is not None
    line.show_place(place)
    assert line.where.text == "Column 7, row 3"
    assert line.block.text == "Block 1, 1"
    assert line.sheet.text == "Sheet A: 7, 3 +1"
    assert "part stitch" in line.here.text
    assert line.where.toolTip() == line.here.accessibleDescription() == sentence(place)
    assert sentence(place) in line.sentence
    line.show_place(None)
    assert line.where.text == NOWHERE
    assert line.block.text == line.sheet.text == line.here.text == ""


def test_counted_from_the_centre_the_side_is_said(
    line: PlaceLine, random_chart: Callable[..., Chart]
) -> None:
    """Three left and one up; on the centre line there is no block."""
    chart = random_chart(20, 21, 3, 1)
    line.show_place(place_of(chart, 7, 9, Numbering.CENTRE))
    assert line.where.text == "Column 3 left, row 1 up"
    assert line.block.text == "Block 1 left, 1 up"
    line.show_place(place_of(chart, 7, 10, Numbering.CENTRE))
    assert line.where.text == "Column 3 left, row on centre"
    assert line.block.text == ""


def test_it_says_what_is_left(line: PlaceLine, small_chart: Callable[[], Chart]) -> None:
    """In the band, and of the thread in hand in the band."""
    entry = small_chart().key[1]
    assert line.band.text == "No band"
    assert line.hand.text == "No thread in hand"
    line.show_band("Rows 31–40")
    line.show_in_hand(entry)
    line.show_left(InBand(1312, 4800, 120, 7), in_hand=True)
    assert line.band.text == "Rows 31–40: 1,312 of 4,800 left"
    assert line.hand.text == "120 left: Sample cotton 2, shade 2"
    assert "120 left in the band" in line.hand.toolTip()
    line.show_left(InBand(0, 4800, 0, 0), in_hand=False)
    assert line.band.text == "Rows 31–40: all done"
    assert line.hand.text == "Sample cotton 2, shade 2"
    line.show_left(InBand(0, 4800, 0, 12), in_hand=False)
    assert line.band.text == "Rows 31–40: 12 lines, knots left"
    line.show_left(InBand(9, 20, 0, 0, Progress(22, 11, 3, 1, 0)), in_hand=False)
    assert line.band.toolTip().endswith("Of all there: 3 first legs, 1 for later.")
    line.show_left(InBand(0, 0, 0, 0), in_hand=False)
    assert line.band.text == "Rows 31–40: no stitches"
    line.show_in_hand(None)
    line.show_band("")
    assert (line.band.text, line.hand.text) == ("No band", "No thread in hand")


def test_the_thread_in_hand_goes_by_what_tells_it_from_others(line: PlaceLine, small_desk: Desk) -> None:
    """What all threads of a key share is left out, where it alone would be seen; the tip has it."""
    line.set_desk(small_desk)
    line.show_in_hand(small_desk.chart.key[1])
    line.show_left(InBand(1312, 4800, 120, 7), in_hand=True)
    assert line.hand.text == "120 left: shade 2"
    assert "Sample cotton 2, shade 2" in line.hand.toolTip()


def test_nothing_moves_when_the_words_change(
    line: PlaceLine, small_desk: Desk, random_chart: Callable[..., Chart]
) -> None:
    """Whatever the line says, its parts stand where they stood."""
    line.set_desk(small_desk)
    before = places(line)
    chart = random_chart(4000, 30, 3, 1)
    for column in (0, 9, 99, 999, 3999):
        for numbering in Numbering:
            line.show_place(place_of(chart, column, 20, numbering))
            line.show_left(InBand(column * 1000, column * 2000, column, column), in_hand=True)
            line.show_band(f"Rows {column + 1}–{column + 10}")
            line.show_in_hand(chart.key[column % 3])
            line.show_keeping(Keeping(column, "The disk is full." if column == 99 else ""))
            assert places(line) == before


@pytest.mark.parametrize("width", [300, 500, 640, 900, 1400, 2200])
@pytest.mark.parametrize("letters", [1.0, 2.0])
def test_it_has_room_in_every_window(
    line: PlaceLine, qapp: QApplication, qtbot: QtBot, width: int, letters: float
) -> None:
    """On one line, two or three the parts lie side by side, whole within the window."""
    font = QFont(qapp.font())
    font.setPointSizeF(font.pointSizeF() * letters)
    line.setFont(font)
    line.resize(width, line.height())
    qtbot.waitUntil(lambda: line.width() == width)
    placed = places(line)
    assert all(line.rect().contains(place) for place in placed)
    assert all(place.height() >= line.fontMetrics().height() for place in placed)
    assert not any(one.intersects(other) for at, one in enumerate(placed) for other in placed[at + 1 :])
    for row in {place.y() for place in placed}:
        assert sum(place.width() for place in placed if place.y() == row) == width


def test_long_words_are_cut_and_told_in_the_tip(line: PlaceLine) -> None:
    """What the disk says fits nowhere; whoever rests the pointer there reads all of it."""
    trouble = "The disk is full. Free some space, or move the chart to a folder you can write to."
    line.show_keeping(Keeping(3, trouble))
    assert line.kept.toolTip() == f"Not kept: {trouble}"
    painted = line.kept.grab().toImage()
    inked = [
        x
        for x in range(painted.width())
        if any(
            painted.pixelColor(x, y) == QColor(as_qt(shades_of(line.palette()).trouble))
            for y in range(painted.height())
        )
    ]
    assert inked
    assert max(inked) < painted.width() - 2


def numbers_in(text: str) -> list[str]:
    """The numbers in a text, each whole."""
    return re.findall(r"\d+(?:[.,]\d+)*", text)


def test_a_number_is_shown_whole_or_not_at_all(
    line: PlaceLine, make_desk: MakeDesk, random_chart: Callable[..., Chart]
) -> None:
    """However narrow, no part of the line shows half a number: that would be another number."""
    chart = replace(random_chart(1234, 40, 3, 1), sheets=(Sheet("Sheet 12", Area(0, 0, 1234, 40)),))
    line.set_desk(make_desk(chart))
    for numbering in Numbering:
        line.show_place(place_of(chart, 1229, 38, numbering))
        line.show_band("Rows 31–40")
        line.show_in_hand(chart.key[2])
        line.show_left(InBand(11312, 12340, 1120, 7), in_hand=True)
        for segment in segments(line):
            for width in range(500):
                shown = numbers_in(segment.words_in(width))
                assert all(number in numbers_in(segment.text) for number in shown)


def test_nothing_is_cut_while_there_is_room(
    line: PlaceLine, make_desk: MakeDesk, random_chart: Callable[..., Chart]
) -> None:
    """On a chart with large numbers each part has the room its numbers need, if the line has it at all."""
    chart = random_chart(3999, 30, 3, 1)
    line.set_desk(make_desk(chart))
    line.show_place(place_of(chart, 3998, 28, Numbering.TOP_LEFT))
    line.show_band("Rows 11–20")
    line.show_left(InBand(39_312, 39_990, 120, 7), in_hand=True)
    for width in (1000, 1400, 2000):
        line.resize(width, line.height())
        for segment in (line.where, line.block, line.band):
            room = segment.usual_width - segment.fontMetrics().horizontalAdvance(segment.text)
            assert room > 0
            if segment.width() >= segment.usual_width:
                assert segment.words_in(segment.width() - room) == segment.text
        assert line.where.words_in(line.where.width() - 12) == "Column 3999, row 29"
        assert line.band.words_in(line.band.width() - 12).startswith("Rows 11–20: 39,312")


def test_a_chart_without_sheets_leaves_their_room_to_others(
    line: PlaceLine, make_desk: MakeDesk, random_chart: Callable[..., Chart], small_desk: Desk
) -> None:
    """Where no paper sheet can be told of, no place is kept free for it."""
    line.set_desk(make_desk(random_chart(30, 30, 3, 1)))
    assert line.sheet.isHidden()
    line.set_desk(small_desk)
    assert not line.sheet.isHidden()


def test_kept_is_said_only_of_what_is_kept(line: PlaceLine, small_desk: Desk, qtbot: QtBot) -> None:
    """A real stroke on a real disk: first keeping, then kept, and never kept while one waits."""
    line.set_desk(small_desk)
    assert line.kept.text == "Kept"
    said: list[tuple[str, int]] = []

    class Listener(QObject):
        """Notes what the line says at each news of the desk."""

        def hear(self, keeping: Keeping) -> None:
            """Hear the news as the window does."""
            line.show_keeping(keeping)
            said.append((line.kept.text, small_desk.keeping.waiting))

    listener = Listener()
    small_desk.tell_keeping(listener.hear)
    for square in range(20, 50):
        small_desk.mark(Selection.of(squares=np.array([square])), DONE)
    assert line.kept.text.startswith("Keeping ")
    qtbot.waitUntil(lambda: line.kept.text == "Kept", timeout=10_000)
    assert small_desk.keeping == Keeping(0)
    assert any(text == "Keeping 1 stroke…" for text, _ in said)
    assert all(text != "Kept" for text, waiting in said if waiting)


def test_it_does_not_flicker_at_every_stitch(line: PlaceLine, qtbot: QtBot) -> None:
    """Kept so soon that the eye would only see a twitch: the word waits until the hand rests."""
    line.show_keeping(Keeping(1))
    line.show_keeping(Keeping(0))
    assert line.kept.text == "Keeping 1 stroke…"
    line.show_keeping(Keeping(1))
    line.show_keeping(Keeping(0))
    qtbot.waitUntil(lambda: line.kept.text == "Kept")


def test_with_no_chart_nothing_is_called_kept(line: PlaceLine, small_desk: Desk) -> None:
    """A promise is only made about something."""
    assert line.kept.text == ""
    line.set_desk(small_desk)
    assert line.kept.text == "Kept"
    line.set_desk(None)
    assert line.kept.text == ""


def test_the_chip_follows_look_and_theme(line: PlaceLine, qapp: QApplication, small_desk: Desk) -> None:
    """In colour and on paper, by day and by night, the line shows the thread as the chart does."""
    apply_theme(qapp, Theme.LIGHT)
    line.set_desk(small_desk)
    line.show_in_hand(small_desk.chart.key[1])
    coloured = line.hand.grab().toImage()
    line.set_look(Look(paper=True))
    paper = line.hand.grab().toImage()
    apply_theme(qapp, Theme.DARK)
    line.set_look(Look(paper=True, night=True))
    night = line.hand.grab().toImage()
    assert coloured != paper
    assert paper != night
    window = as_qt(shades_of(line.palette()).window)
    assert line.kept.grab().toImage().pixelColor(3, 3) == window

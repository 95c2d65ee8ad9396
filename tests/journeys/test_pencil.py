"""A wrong square, a missing line and a knot too many are corrected on the chart, and her marks stay."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from stitchview.canvas.touch import Spot
from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.stitches import LineKind
from stitchview.sheets.pencil import with_squares
from stitchview.ui.pencilpanel import Draws, PencilPanel
from stitchview.ui.pencilwork import ANSWERED_SINCE, NOTHING_DONE, PencilWork
from stitchview.ui.reading.entrydialog import EntryDialog
from tests.journeys.sofa import Sofa

LEFT = Qt.MouseButton.LeftButton


def pencil(sofa: Sofa) -> tuple[PencilWork, PencilPanel]:
    """Take the pencil up by its key."""
    assert sofa.program is not None
    work = sofa.program.deeds.pencil
    if not work.in_hand:
        sofa.press("Ctrl+Shift+P")
    assert work.panel is not None
    assert work.in_hand
    return work, work.panel


def click(sofa: Sofa, place: QPoint) -> None:
    """Press on the canvas."""
    QTest.mouseClick(sofa.canvas, LEFT, pos=place)
    sofa.app.processEvents()


def wear(panel: PencilPanel, draws: Draws, number: int) -> None:
    """Choose what is drawn by its button, and the thread in the list."""
    QTest.mouseClick(panel.buttons[draws], LEFT)
    panel.takes.setCurrentIndex(panel.takes.findData(number))


def test_a_square_is_corrected_and_taken_back(sofa: Sofa, harbour: Path) -> None:
    """In the file at once, noted as by hand; Ctrl+Z takes the correction back, not a mark; marks stay."""
    sofa.sit_down(harbour)
    row, column = np.argwhere(sofa.desk.chart.squares)[40].tolist()
    before = int(sofa.desk.chart.squares[row, column])
    other = before % len(sofa.desk.chart.key) + 1
    sofa.mark((column, row))
    done = np.argwhere(sofa.desk.marks.squares).tolist()
    assert done
    work, panel = pencil(sofa)
    wear(panel, Draws.SQUARE, other)
    click(sofa, sofa.place_of((column, row)))
    assert sofa.desk.chart.squares[row, column] == other
    written = read_chart(harbour)
    assert written.squares[row, column] == other
    assert len(written.by_hand) == 1
    assert work.in_hand
    sofa.press("Ctrl+Z")
    assert sofa.desk.chart.squares[row, column] == before
    assert not len(sofa.desk.chart.by_hand)
    assert np.argwhere(sofa.desk.marks.squares).tolist() == done
    sofa.press("Ctrl+Shift+Z")
    assert sofa.desk.chart.squares[row, column] == other
    sofa.press("Escape")
    assert not work.in_hand


def test_answers_of_the_reading_table_outlive_undo(sofa: Sofa, harbour: Path) -> None:
    """What was answered after a correction is in the chart, whatever the pencil takes back."""
    sofa.sit_down(harbour)
    assert sofa.program is not None
    (row, column), (other_row, other_column) = np.argwhere(sofa.desk.chart.squares)[[40, 90]].tolist()
    work, panel = pencil(sofa)
    number = int(sofa.desk.chart.squares[row, column]) % len(sofa.desk.chart.key) + 1
    wear(panel, Draws.SQUARE, number)
    reading = sofa.program.deeds.reading
    reading.open()
    assert reading.table is not None
    reading.table.book.begin(sofa.desk.chart, sofa.sitting.path)
    work.draw([Spot(column + 0.5, row + 0.5)])
    assert reading.table.book.chart is not None
    answer = int(sofa.desk.chart.squares[other_row, other_column]) % len(sofa.desk.chart.key) + 1
    reading.table.book.take(with_squares(reading.table.book.chart, [(other_column, other_row)], answer))
    work.undo()
    assert panel.said.text() == ANSWERED_SINCE
    written = read_chart(harbour)
    assert written.squares[other_row, other_column] == answer
    assert written.squares[row, column] == number
    panel.reject()


def test_putting_the_table_away_leaves_another_chart_open(sofa: Sofa, harbour: Path) -> None:
    """Answers go into the file they belong to, and the chart she stitches from stays on the window."""
    other = harbour.with_name("other.svchart")
    sofa.sit_down(harbour)
    assert sofa.program is not None
    write_chart(replace(sofa.desk.chart, title="Other"), other)
    reading = sofa.program.deeds.reading
    reading.open()
    assert reading.table is not None
    reading.table.book.begin(read_chart(other), other)
    reading.table.book.take(replace(read_chart(other), title="Answered"))
    QTest.keyClick(reading.table, Qt.Key.Key_Escape)
    assert not reading.table.isVisible()
    assert read_chart(other).title == "Answered"
    assert sofa.sitting.path == harbour
    assert not reading.table.book.unkept


def test_another_chart_on_the_table_stays_there(sofa: Sofa, harbour: Path) -> None:
    """Drawing corrects the chart in the window, and never writes the one that is answered over it."""
    sofa.sit_down(harbour)
    assert sofa.program is not None
    chart, other = sofa.desk.chart, harbour.with_name("other.svchart")
    row, column = np.argwhere(chart.squares)[40].tolist()
    number = int(chart.squares[row, column]) % len(chart.key) + 1
    write_chart(replace(chart, title="Other"), other)
    reading = sofa.program.deeds.reading
    reading.open()
    assert reading.table is not None
    reading.table.book.begin(read_chart(other), other)
    reading.table.book.take(replace(read_chart(other), title="Answered"))
    work, panel = pencil(sofa)
    wear(panel, Draws.SQUARE, number)
    work.draw([Spot(column + 0.5, row + 0.5)])
    assert sofa.sitting.path == harbour
    written = read_chart(harbour)
    assert (written.title, written.squares[row, column]) == (chart.title, number)
    assert reading.table.book.unkept
    reading.keep()
    assert read_chart(other).title == "Answered"
    assert read_chart(harbour).title == chart.title
    panel.reject()


def test_where_nothing_could_be_written_one_pencil_is_in_hand(
    sofa: Sofa, harbour: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """She would rather stay than lose marks that cannot be kept; put down, the pencil draws no more."""
    sofa.sit_down(harbour)
    assert sofa.program is not None
    row, column = np.argwhere(sofa.desk.chart.squares)[40].tolist()
    before = int(sofa.desk.chart.squares[row, column])
    work, panel = pencil(sofa)
    wear(panel, Draws.SQUARE, before % len(sofa.desk.chart.key) + 1)
    with monkeypatch.context() as stays:
        stays.setattr(sofa.program.charts, "close", lambda: False)
        click(sofa, sofa.place_of((column, row)))
    assert sofa.desk.chart.squares[row, column] == before
    sofa.press("Escape")
    assert not work.in_hand
    click(sofa, sofa.place_of((column, row)))
    assert sofa.desk.chart.squares[row, column] == before


def test_lines_and_knots_are_drawn_and_rubbed_out(sofa: Sofa, harbour: Path) -> None:
    """A line between two presses, a knot by one; rubbed out they are gone, and the file says so."""
    sofa.sit_down(harbour)
    lines, knots = len(sofa.desk.chart.lines), len(sofa.desk.chart.points)
    _, panel = pencil(sofa)
    corner = sofa.place_of((6, 6))
    half = sofa.place_of((7, 6)) - sofa.place_of((6, 6))
    wear(panel, Draws.LINE, 1)
    start, end = corner - half / 2, corner + half * 2.5
    click(sofa, start)
    assert "where it ends" in panel.said.text()
    click(sofa, end)
    assert len(sofa.desk.chart.lines) == lines + 1
    wear(panel, Draws.KNOT, 1)
    click(sofa, corner)
    assert len(read_chart(harbour).points) == knots + 1
    wear(panel, Draws.NOTHING, 1)
    click(sofa, corner)
    assert len(sofa.desk.chart.points) == knots
    click(sofa, corner + half)
    assert len(read_chart(harbour).lines) in (lines, lines + 1)
    panel.reject()


@pytest.mark.parametrize(("draws", "shapes"), [(Draws.HALF, 2), (Draws.QUARTER, 4), (Draws.THREE_QUARTER, 4)])
def test_part_stitches_are_drawn_by_hand_and_by_key(
    sofa: Sofa, harbour: Path, draws: Draws, shapes: int
) -> None:
    """A press in a corner draws it there; Return goes from corner to corner; undo takes it back."""
    sofa.sit_down(harbour)
    before = sofa.desk.chart
    row, column = np.argwhere(before.squares)[40].tolist()
    _, panel = pencil(sofa)
    wear(panel, draws, 2)
    part = sofa.place_of((column + 1, row + 1)) - sofa.place_of((column, row))
    click(sofa, sofa.place_of((column, row)) - part / 4)
    written = read_chart(harbour)
    assert (written.parts.columns[-1], written.parts.rows[-1]) == (column, row)
    assert written.parts.keys[-1] == 2
    assert not written.squares[row, column]
    sofa.put_pointer((column, row))
    seen = set()
    for _ in range(shapes):
        sofa.press("Return")
        (shape,) = sofa.desk.chart.parts.shapes.tolist()
        seen.add(shape)
    assert len(seen) == shapes
    sofa.press(*["Ctrl+Z"] * (shapes + 1))
    assert read_chart(harbour).squares[row, column] == before.squares[row, column]
    assert not len(sofa.desk.chart.parts)
    panel.reject()


def test_a_straight_stitch_is_drawn_and_drawn_no_second_time(sofa: Sofa, harbour: Path) -> None:
    """Pressed where it begins and ends, and again the other way; the file can still be opened."""
    sofa.sit_down(harbour)
    _, panel = pencil(sofa)
    wear(panel, Draws.STRAIGHT, 2)
    start, end = sofa.place_of((6, 6)), sofa.place_of((9, 8))
    for place in (start, end, end, start):
        click(sofa, place)
    written = read_chart(harbour)
    assert written.lines.kinds.tolist() == [LineKind.STRAIGHT]
    assert NOTHING_DONE in panel.said.text()
    panel.reject()


def test_the_pencil_draws_by_keyboard_alone(sofa: Sofa, harbour: Path) -> None:
    """Return draws at the keyboard pointer, and marks nothing meanwhile."""
    sofa.sit_down(harbour)
    sofa.put_pointer((5, 5))
    square = sofa.sitting.pointed_square
    _, panel = pencil(sofa)
    panel.takes.setCurrentIndex(panel.takes.findData(2))
    sofa.press("Return")
    column, row = square
    assert sofa.desk.chart.squares[row, column] == 2
    assert not sofa.desk.marks.squares.any()
    panel.reject()


def test_a_line_of_the_key_is_corrected(sofa: Sofa, harbour: Path) -> None:
    """Name and number typed in the small window are in the key on the chart and on the disk."""
    sofa.sit_down(harbour)
    _, panel = pencil(sofa)
    panel.takes.setCurrentIndex(panel.takes.findData(3))
    QTest.mouseClick(panel.entry_button, LEFT)
    dialog = panel.findChild(EntryDialog)
    assert dialog is not None
    dialog.form.name.selectAll()
    QTest.keyClicks(dialog.form.name, "Sample cotton 99, wet sand")
    QTest.keyClick(dialog.form.name, Qt.Key.Key_Tab)
    dialog.accept()
    for chart in (sofa.desk.chart, read_chart(harbour)):
        assert chart.key[2].name == "Sample cotton 99, wet sand"
    QTest.mouseClick(panel.undo_button, LEFT)
    assert read_chart(harbour).key[2].name != "Sample cotton 99, wet sand"
    panel.reject()


def test_the_pencil_goes_when_another_chart_is_opened(sofa: Sofa, harbour: Path) -> None:
    """It was taken up for the one chart."""
    second = sofa.folder / "second.svchart"
    write_chart(replace(read_chart(harbour), identity="7f1c1a52-6d0e-4c1b-9a37-5f2c8d1e6b99"), second)
    sofa.sit_down(harbour)
    work, _ = pencil(sofa)
    sofa.charts.open(second)
    assert not work.in_hand
    assert sofa.sitting.path == second


def test_all_of_the_pencil_is_to_be_seen_on_a_low_screen(sofa: Sofa, harbour: Path) -> None:
    """On a low screen the pencil's small window stands higher, with its last buttons in sight."""
    program = sofa.start(harbour, (1024, 600))
    screen = program.window.screen().availableGeometry()
    program.window.move(0, screen.bottom() - 600)
    _, panel = pencil(sofa)
    lowest = panel.buttons[Draws.SQUARE].window().frameGeometry().bottom()
    assert lowest <= max(screen.bottom(), program.window.frameGeometry().bottom())

"""An evening with the hoop turned: hands, keys, band and call-out follow what she sees; the file does not."""

from pathlib import Path

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.turning import Turn
from stitchview.done.change import DONE
from stitchview.ui.settingsdialog import SettingsDialog
from tests.journeys.effects_at_the_cloth import take_in_hand
from tests.journeys.sofa import Sofa

TURNING = {
    Turn(1): ("Ctrl+]",),
    Turn(2): ("Ctrl+]", "Ctrl+]"),
    Turn(3): ("Ctrl+[",),
    Turn(0, mirrored=True): ("Ctrl+B",),
    Turn(1, mirrored=True): ("Ctrl+B", "Ctrl+]"),
}


def done(sofa: Sofa) -> set[tuple[int, int]]:
    return {(int(column), int(row)) for row, column in np.argwhere(sofa.desk.marks.squares == DONE)}


@pytest.mark.parametrize("turn", TURNING, ids=str)
def test_hands_and_keys_mean_what_she_sees(sofa: Sofa, harbour: Path, turn: Turn) -> None:
    """A drag, the keyboard pointer and the band go where she sees them go, and next evening it lies so."""
    before = harbour.read_bytes()
    sofa.sit_down(harbour)
    sofa.press(*TURNING[turn])
    assert sofa.canvas.view.turn == turn
    sofa.press("M", "3")
    sofa.drag((10, 10), (14, 12))
    chart = sofa.desk.chart
    wanted = {(c, r) for c in range(10, 15) for r in range(10, 13) if chart.squares[r, c]}
    assert done(sofa) == wanted
    sofa.press("L", "Shift+Right")
    at = sofa.canvas.showing.pointers.cursor
    assert at is not None
    for key, seen in (("Shift+Right", (1, 0)), ("Shift+Down", (0, 1))):
        x, y = sofa.canvas.view.pixel_of(at[0] + 0.5, at[1] + 0.5)
        sofa.press(key)
        at = sofa.canvas.showing.pointers.cursor or at
        moved = sofa.canvas.view.pixel_of(at[0] + 0.5, at[1] + 0.5)
        assert (np.sign(moved[0] - x), np.sign(moved[1] - y)) == seen
    sofa.press("F")
    before_move, after_move = (seen_band(sofa, turn, keys) for keys in ((), ("Ctrl+Down", "Ctrl+Right")))
    assert (after_move.column - before_move.column, after_move.row - before_move.row) == (1, 1)
    marked, view = done(sofa), sofa.canvas.view
    sofa.get_up()
    assert harbour.read_bytes() == before
    sofa.sit_down(harbour)
    assert sofa.canvas.view == view
    assert done(sofa) == marked
    sofa.press("Ctrl+0")
    assert sofa.canvas.view.turn.upright


def seen_band(sofa: Sofa, turn: Turn, keys: tuple[str, ...]) -> Area:
    """Where the band lies on the chart as she sees it, after some keys."""
    sofa.press(*keys)
    lit = sofa.works.band.lit
    assert lit is not None
    return turn.area(lit, sofa.desk.chart.columns, sofa.desk.chart.rows)


def called_squares(sofa: Sofa, runs: int) -> list[tuple[int, int]]:
    """The middles of runs as they are called one after the other, in pixels of the window."""
    middles = []
    for _ in range(runs):
        area = sofa.canvas.showing.pointers.called
        assert area is not None
        view = sofa.canvas.view
        middles.append(view.pixel_of(area.column + area.columns / 2, area.row + area.rows / 2))
        sofa.press("PgDown")
    return middles


@pytest.mark.parametrize(("turn", "band"), [(Turn(2), "B"), (Turn(0, mirrored=True), "B"), (Turn(1), "V")])
def test_runs_are_called_as_she_reads(sofa: Sofa, harbour: Path, turn: Turn, band: str) -> None:
    """In a level band runs follow one another rightwards, and lines downwards, however the hoop lies."""
    sofa.sit_down(harbour)
    sofa.press(*TURNING[turn])
    sofa.put_pointer_anywhere()
    sofa.press(band, "]", "C")
    middles = called_squares(sofa, 12)
    assert middles == sorted(middles, key=lambda at: (at[1], at[0]))
    assert len({y for _, y in middles}) > 1
    assert "leftwards" not in sofa.window.panels.runs.now.text
    assert "upwards" not in sofa.window.panels.runs.now.text
    assert sofa.window.panels.runs.way.currentText() == "Left to right"


def test_the_way_is_named_as_she_sees_it(sofa: Sofa, harbour: Path) -> None:
    """Rows that run up and down on the turned chart are worked downwards, not from left to right."""
    sofa.sit_down(harbour)
    sofa.put_pointer_anywhere()
    sofa.press("B", "]", "C")
    way = sofa.window.panels.runs.way
    seen = []
    for key in ("", "Ctrl+]", "Ctrl+]"):
        sofa.press(*([key] if key else []))
        seen.append([way.itemText(at) for at in range(2)])
    level = ["Left to right", "Right to left"]
    assert seen == [level, ["Downwards", "Upwards"], level]


def test_the_left_hand_works_from_the_right(sofa: Sofa, harbour: Path) -> None:
    """With the switch in the settings runs go leftwards, row by row downwards."""
    sofa.sit_down(harbour)
    sofa.press("Ctrl+,")
    dialog = sofa.window.findChild(SettingsDialog)
    assert dialog is not None
    dialog.left_handed.click()
    dialog.accept()
    sofa.put_pointer((20, 20))
    sofa.press("B", "]", "C")
    assert "leftwards from" in sofa.window.panels.runs.now.text
    way = sofa.window.panels.runs.way
    assert [way.itemText(at) for at in range(2)] == ["Right to left", "Left to right"]
    assert way.currentText() == "Right to left"
    middles = called_squares(sofa, 12)
    assert middles == sorted(middles, key=lambda at: (at[1], -at[0]))


def test_a_needleful_goes_down_the_columns_of_a_band_of_columns(sofa: Sofa, harbour: Path) -> None:
    """Column by column in a band of columns, row by row in one of rows, turned or not; else rows as seen."""
    sofa.sit_down(harbour)
    take_in_hand(sofa)
    seen = []
    for key in ("V", "B", "Ctrl+]", "V", "F", "N"):
        sofa.press(key, "E")
        path = sofa.works.cloth.needle.path
        assert path is not None
        seen.append(path.wish.course.down)
    assert seen == [True, False, False, True, True, True]

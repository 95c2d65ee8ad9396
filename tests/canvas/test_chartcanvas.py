"""The canvas shows at every moment what a fresh drawing would, and draws no more than it must."""

import dataclasses
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from pytestqt.qtbot import QtBot

from stitchview.canvas.frame import reach_of_pointers
from stitchview.canvas.glyphs import GlyphPaths
from stitchview.canvas.showing import Showing
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.turning import UPRIGHT, Turn
from tests.canvas.charts import Making, full_chart
from tests.canvas.samepicture import EVENINGS, MAKINGS, PITCHES, Chunk, keeps_its_promise, looks_as_described
from tests.canvas.stage import CORNER, LOOKS, Stage, Step

StageFor = Callable[..., Stage]


@pytest.mark.usefixtures("qapp")
@settings(max_examples=150, suppress_health_check=list(HealthCheck))
@given(making=MAKINGS, evening=EVENINGS)
def test_whatever_she_does_the_window_shows_what_a_fresh_one_would(
    making: Making, evening: list[Chunk]
) -> None:
    """After any marks, undos, pans, zooms and band moves not one pixel is left over from before."""
    keeps_its_promise(making, evening)


def run_scaled(repository: Path, scaling: str, *command: str) -> str:
    """Run Python in a process of its own on a screen so scaled, and give what it wrote."""
    environment = {**os.environ, "QT_SCALE_FACTOR": scaling, "PYTHONPATH": str(repository)}
    run = subprocess.run(
        [sys.executable, *command],
        cwd=repository,
        env=environment,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert run.returncode == 0, f"{run.stdout[-2000:]}\n{run.stderr[-2000:]}"
    return run.stdout


@pytest.mark.parametrize("scaling", ["1.25", "1.5", "1.75", "2"])
def test_scaled_screens_show_the_same(repository: Path, scaling: str) -> None:
    """On a screen scaled by a quarter, a half or to double, nothing is left over and lines stand right."""
    assert run_scaled(repository, scaling, "-m", "tests.canvas.samepicture", "40").split() == [scaling]


@pytest.mark.parametrize("scaling", ["1.25", "2"])
def test_hands_are_understood_on_scaled_screens(repository: Path, scaling: str) -> None:
    """Whatever the scaling of the screen, a hand takes the square it is on."""
    told = run_scaled(
        repository, scaling, "-m", "pytest", "-q", "-p", "no:xdist", "tests/canvas/test_hands.py"
    )
    assert " passed" in told


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("pitch", [1, 2, 3, 4, 5, 6, 7, 10, 12, 13, 24, 60])
def test_squares_and_lines_stand_where_a_plain_drawing_has_them(pitch: int) -> None:
    """Fills, thin lines and bold lines agree to the pixel with a drawing made square by square."""
    looks_as_described(Making(23, 19, pitch), pitch)


@pytest.mark.parametrize("pitch", PITCHES)
def test_one_wrong_square_is_noticed(stage_for: StageFor, pitch: float) -> None:
    """If the window showed one wrong square, the comparison would say so."""
    stage = stage_for(full_chart(Making(40, 31, 5), bare=True))
    stage.zoom(pitch, 0, 0)
    stage.canvas.centre_on(3, 2)
    stage.turn()
    assert stage.difference() == ""
    squares = stage.chart.squares.copy()
    # At an eighth of a pixel sixty-four squares share one, so a few must be wrong to be seen.
    squares[:2, :3] = squares[:2, :3] % len(stage.chart.key) + 1
    if pitch >= 1:
        squares[:2, :3] = stage.chart.squares[:2, :3]
        squares[1, 2] = squares[1, 2] % len(stage.chart.key) + 1
    wrong = dataclasses.replace(stage.chart, squares=squares)
    stage.marks.chart = wrong
    assert stage.difference() != ""


@pytest.mark.parametrize("pitch", [3, 8, 17, 30])
@pytest.mark.parametrize("family", range(4))
def test_a_mark_changes_nothing_far_from_it(stage_for: StageFor, family: int, pitch: int) -> None:
    """Marking a stitch draws only that stitch and its close neighbourhood anew."""
    stage = stage_for(full_chart(Making(40, 31, 8)))
    stage.zoom(pitch, 0, 0)
    before = stage.shown()
    stage.mark(family, 60, 1, 1)
    changed = np.argwhere(stage.shown() != before)
    x, y, width, height = stage.canvas.view.pixels_of(stage.changes[-1].area)
    # Lines, knots and beads reach half a square over the squares they touch, pointers a few pixels.
    reach = reach_of_pointers() + round(pitch / 2)
    rows, columns = changed.T - CORNER
    assert ((columns >= x - reach) & (columns < x + width + reach)).all()
    assert ((rows >= y - reach) & (rows < y + height + reach)).all()


@pytest.mark.parametrize("look", range(0, len(LOOKS), 2))
def test_every_mark_of_a_square_can_be_seen(stage_for: StageFor, look: int) -> None:
    """A square she marks looks different afterwards, in every look, and as before when she unpicks it."""
    stage = stage_for(full_chart(Making(12, 9, 3), bare=True))
    stage.take([Step("look", (look,)), Step("zoom", (16, 0, 0))])
    square = int(np.flatnonzero(stage.chart.squares)[0])
    area = Area(square % 12, square // 12, 1, 1)
    stage.canvas.centre_on(area.column, area.row)
    before = stage.shown_of(area)
    stage.mark(0, square, 1, 1)
    assert (stage.shown_of(area) != before).sum() > before.size / 4
    stage.undo()
    assert np.array_equal(stage.shown_of(area), before)


def test_a_pan_scrolls_what_is_drawn(stage_for: StageFor, monkeypatch: pytest.MonkeyPatch) -> None:
    """Moving the chart paints only the strips that come into the window."""
    stage = stage_for(full_chart(Making(130, 131, 1)), 200, 150)
    stage.zoom(10, 0, 0)
    stage.canvas.centre_on(60, 60)
    stage.turn()
    painter = stage.canvas.chart_painter
    assert painter is not None
    painted: list[int] = []
    paint = painter.paint

    def note(*given: object) -> None:
        exposed = given[-1]
        painted.append(exposed.width() * exposed.height())  # type: ignore[attr-defined]
        paint(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(painter, "paint", note)
    stage.pan(8, -6)
    stage.turn()
    assert sum(painted) == 200 * 150 - 192 * 144


def test_going_back_leads_to_where_she_looked_before(stage_for: StageFor) -> None:
    """After a jump one key brings her back, step by step, and never further than there is."""
    stage = stage_for(full_chart(Making(130, 131, 1)))
    canvas = stage.canvas
    stage.zoom(12, 30, 30)
    first = canvas.view
    canvas.centre_on(100, 90)
    second = canvas.view
    canvas.show_area(Area(10, 10, 20, 5))
    canvas.go_back()
    assert canvas.view == second
    canvas.go_back()
    assert canvas.view == first
    canvas.go_back()
    canvas.go_back()
    assert canvas.view.pitch > 0


def test_going_back_takes_back_a_whole_zoom(stage_for: StageFor) -> None:
    """Many steps of a zoom, of a pinch or of a drag over the overview are one movement to go back from."""
    stage = stage_for(full_chart(Making(130, 131, 1)))
    canvas = stage.canvas
    stage.zoom(6, 30, 30)
    before = canvas.view
    for _ in range(5):
        canvas.zoom_by(1)
    zoomed = canvas.view
    for step in range(8):
        canvas.drift_to(30 + 5 * step, 30)
    drifted = canvas.view
    for step in range(8):
        canvas.pan_by(3, 2)
        canvas.zoom_to_pitch(20 + step, 50, 50)
    canvas.go_back()
    assert canvas.view == drifted.panned(3, 2)
    canvas.go_back()
    assert canvas.view == zoomed
    canvas.go_back()
    assert canvas.view == before
    canvas.zoom_by(1)
    canvas.pan_by(20, 20)
    panned = canvas.view
    canvas.zoom_by(1)
    canvas.go_back()
    assert canvas.view == panned


def test_what_is_to_be_seen_is_brought_into_the_window(stage_for: StageFor) -> None:
    """A square she goes to by key is wholly in the window, and the chart moves no further than it must."""
    stage = stage_for(full_chart(Making(130, 131, 1)))
    stage.zoom(12, 0, 0)
    for column, row in ((0, 0), (129, 130), (5, 130), (64, 2)):
        area = Area(column, row, 1, 1)
        stage.canvas.reveal(area)
        x, y, width, height = stage.canvas.view.pixels_of(area)
        assert x >= 0
        assert y >= 0
        assert x + width <= 150
        assert y + height <= 100
        still = stage.canvas.view
        stage.canvas.reveal(area)
        assert stage.canvas.view == still


def test_a_zoom_by_nothing_changes_nothing(stage_for: StageFor) -> None:
    """A trackpad that reports the end of a movement does not zoom."""
    stage = stage_for(full_chart(Making(40, 31, 5)))
    stage.zoom(12, 0, 0)
    before = stage.canvas.view
    stage.canvas.zoom_by(0)
    assert stage.canvas.view == before


def test_zooming_in_and_out_by_steps_goes_all_the_way(stage_for: StageFor) -> None:
    """Step by step she comes from the largest squares to the smallest and back, never stuck."""
    canvas = stage_for(full_chart(Making(40, 31, 5))).canvas
    sizes = []
    for step in (-1, 1):
        for _ in range(80):
            canvas.zoom_by(step)
            sizes.append(canvas.view.pitch)
    assert min(sizes) == 1 / 64
    assert sizes[-1] == max(sizes) == 160


@pytest.mark.parametrize("turn", [UPRIGHT, Turn(1)])
def test_sizes_nearby_are_made_ready_when_hands_rest(
    stage_for: StageFor, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, turn: Turn
) -> None:
    """A moment after a zoom the next sizes are at hand, and the picture stays as it is."""
    stage = stage_for(full_chart(Making(83, 19, 5)))
    stage.canvas.set_turn(turn)
    stage.zoom(20, 0, 0)
    painter = stage.canvas.chart_painter
    assert painter is not None
    sizes: list[int] = []
    prepare = painter.prepare

    def note(area: Area, pitch: int, showing: Showing) -> None:
        sizes.append(pitch)
        prepare(area, pitch, showing)

    monkeypatch.setattr(painter, "prepare", note)
    qtbot.waitUntil(lambda: len(sizes) == 3, timeout=20000)
    assert sizes[1] > sizes[0] == 20 > sizes[2]
    assert stage.difference() == ""
    drawn: list[int] = []
    draw = GlyphPaths.draw

    def draw_noted(paths: GlyphPaths, pen: QPainter, number: int, room: QRectF, size: float) -> None:
        drawn.append(number)
        draw(paths, pen, number, room, size)

    monkeypatch.setattr(GlyphPaths, "draw", draw_noted)
    for steps in (1, -2):
        stage.canvas.zoom_by(steps)
        stage.turn()
    assert not drawn
    stage.canvas.zoom_by(9)
    stage.turn()
    assert drawn


def test_without_a_chart_the_canvas_is_empty(stage_for: StageFor, small_chart: Callable[[], Chart]) -> None:
    """Before a chart is opened, and after it is closed, the canvas shows nothing and takes every call."""
    stage = stage_for(small_chart())
    stage.canvas.set_painter(None)
    stage.canvas.zoom_by(1)
    stage.canvas.pan_by(5, 5)
    stage.canvas.set_lit(Area(0, 0, 1, 1))
    stage.turn()
    assert len(np.unique(stage.shown())) == 1

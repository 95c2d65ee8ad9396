"""Back stitch, knots, beads and part stitches are seen where they are, in their thread's colour."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from stitchview.canvas.items import SMALLEST_FINE
from stitchview.chart.colour import Colour, contrast
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.chart.stitches import LineKind, Lines, Parts, PartShape, PointKind, Points
from tests.canvas.reference import mixed, rgb
from tests.canvas.stage import LOOKS, Stage, Step

StageFor = Callable[..., Stage]

THREAD, GROUND = Colour(20, 60, 160), Colour(200, 210, 120)
# Half squares across and down: level, upright, slanted both ways, steep, flat, short and long.
WAYS = ((8, 0), (0, 9), (5, 5), (-6, 3), (3, 40), (41, -4), (1, 0), (1, 1), (44, 37))


def cloth(columns: int = 30, rows: int = 30) -> Chart:
    """A chart whose squares are all of one pale thread; lines and points are of a dark one."""
    key = (
        KeyEntry("a", Symbol("·"), "Sample cotton 1", colour=GROUND),
        KeyEntry("b", Symbol("x"), "Sample cotton 2", colour=THREAD),
    )
    return Chart(np.ones((rows, columns), np.uint16), key)


def one_line(ends: tuple[int, int, int, int], kind: LineKind = LineKind.BACK) -> Lines:
    x1, y1, x2, y2 = (np.array([end], np.int32) for end in ends)
    return Lines(x1, y1, x2, y2, np.array([kind], np.uint8), np.array([2], np.uint16))


def one_part(column: int, row: int, shape: PartShape) -> Parts:
    columns, rows = np.array([column], np.int32), np.array([row], np.int32)
    return Parts(columns, rows, np.array([shape], np.uint8), np.array([2], np.uint16))


def one_point(x: int, y: int) -> Points:
    across, down = np.array([x], np.int32), np.array([y], np.int32)
    return Points(across, down, np.array([PointKind.KNOT], np.uint8), np.array([2], np.uint16))


def lined(way: tuple[int, int], kind: LineKind = LineKind.BACK) -> Chart:
    """The cloth with one line from near its middle."""
    x, y = (8 if step >= 0 else 50 for step in way)
    return replace(cloth(), lines=one_line((x, y, x + way[0], y + way[1]), kind))


def with_one_part(shape: PartShape = PartShape.HALF_RISING) -> Chart:
    """Bare cloth of 9 x 9 squares with one part stitch in the middle one."""
    return replace(cloth(), squares=np.zeros((9, 9), np.uint16), parts=one_part(4, 4, shape))


def colour_at(stage: Stage, x: float, y: float) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """The colour the window shows at a point of the chart, given in squares."""
    across, down = stage.canvas.view.pixel_of(x, y)
    pixel = int(stage.shown_canvas()[down, across])
    return np.array([pixel >> 16 & 0xFF, pixel >> 8 & 0xFF, pixel & 0xFF], np.float64)


def centred(stage: Stage, pitch: int, x: float, y: float) -> None:
    """Look at a point of the chart at a size of square."""
    stage.zoom(pitch, 0, 0)
    stage.canvas.centre_on(x, y)


@pytest.mark.parametrize("kind", LineKind)
@pytest.mark.parametrize("pitch", [7, 10, 12, 19, 33, 60])
@pytest.mark.parametrize("way", WAYS)
def test_a_line_to_do_is_seen_all_along(
    stage_for: StageFor, way: tuple[int, int], pitch: int, kind: LineKind
) -> None:
    """From end to end a line still to do has the colour of its thread, however long and however it leans."""
    chart = lined(way, kind)
    stage = stage_for(chart)
    x1, y1 = chart.lines.x1[0] / 2, chart.lines.y1[0] / 2
    for share in (0.06, 0.25, 0.5, 0.77, 0.94):
        x, y = x1 + way[0] / 2 * share, y1 + way[1] / 2 * share
        centred(stage, pitch, x, y)
        near = [
            colour_at(stage, x + step / pitch, y + other / pitch) for step in (-1, 0) for other in (-1, 0)
        ]
        assert min(np.abs(colour - rgb(THREAD)).max() for colour in near) < 25, share


@pytest.mark.parametrize("look", range(0, len(LOOKS), 2))
@pytest.mark.parametrize(
    "thread", [Colour(0x2B, 0x29, 0x33), Colour(0xFF, 0xFF, 0xFF), Colour(0xF2, 0xB8, 0x4B)]
)
@pytest.mark.parametrize("way", [(8, 0), (0, 9), (5, 5)])
def test_a_line_on_bare_cloth_is_seen_by_day_and_night(
    stage_for: StageFor, way: tuple[int, int], thread: Colour, look: int
) -> None:
    """Charcoal at night and white by day have a rim that stands at 3 : 1 to the cloth (WCAG 2.2, 1.4.11)."""
    bare = replace(cloth(), squares=np.zeros((30, 30), np.uint16))
    chart = replace(bare, key=(bare.key[0], replace(bare.key[1], colour=thread)), lines=lined(way).lines)
    stages = stage_for(chart), stage_for(bare)
    for stage in stages:
        stage.look(look)
        centred(stage, 20, 4 + way[0] / 4, 4 + way[1] / 4)
    shown, without = (stage.shown_canvas() for stage in stages)
    paper = LOOKS[look].ground.paper
    seen = {Colour(*pixel.to_bytes(4, "big")[1:]) for pixel in shown[shown != without].tolist()}
    assert max(contrast(colour, paper) for colour in seen) >= 3


def test_a_line_that_steps_back_covers_less_of_the_thread_in_hand(stage_for: StageFor) -> None:
    """With the squares' thread in hand, a line of another one lies narrower over them than it did before."""
    stage, without = stage_for(lined((8, 0))), stage_for(cloth())
    covered = []
    for in_hand in (2, 1):
        for each in (stage, without):
            each.hand(in_hand)
            centred(each, 30, 6, 4)
        covered.append(int((stage.shown_canvas() != without.shown_canvas()).sum()))
    assert 0 < covered[1] < covered[0]


@pytest.mark.parametrize("look", [0, 4])
@pytest.mark.parametrize("pitch", [12, 33])
@pytest.mark.parametrize("way", [(8, 0), (0, 9), (5, 5), (41, -4), (44, 37)])
def test_a_done_line_is_seen_and_looks_otherwise(
    stage_for: StageFor, way: tuple[int, int], pitch: int, look: int
) -> None:
    """A done line is paler, or shows its stitches, but never vanishes."""
    stage = stage_for(lined(way))
    stage.look(look)
    centred(stage, pitch, stage.chart.lines.x1[0] / 2 + way[0] / 4, stage.chart.lines.y1[0] / 2 + way[1] / 4)
    to_do = stage.shown()
    stage.mark(2, 0, 1, 1)
    done = stage.shown()
    without = stage_for(cloth())
    without.look(look)
    without.canvas.go_to(stage.canvas.view)
    empty = without.shown()
    assert (done != to_do).sum() > 20
    assert (done != empty).sum() > 20


def test_worked_back_stitch_shows_as_single_stitches(stage_for: StageFor) -> None:
    """In the worked look a done line of back stitch has gaps all along, two stitches to a square."""
    stage = stage_for(lined((44, 37)), 700, 600)
    stage.look(4)
    stage.mark(2, 0, 1, 1)
    centred(stage, 30, 15, 13)
    shares = np.linspace(0.3, 0.6, 4000)
    view, shown = stage.canvas.view, stage.shown_canvas()
    rows = ((4 + 18.5 * shares) * view.pitch).astype(int) - view.top
    columns = ((4 + 22 * shares) * view.pitch).astype(int) - view.left
    # The thread is mostly blue, the cloth mostly not.
    threaded = (shown[rows, columns] >> 16 & 0xFF) < 90
    stitches = np.count_nonzero(np.diff(threaded.astype(int)) == 1)
    assert stitches == pytest.approx(0.3 * math.hypot(22, 18.5) * 2, abs=2)


@pytest.mark.parametrize("kind", PointKind)
@pytest.mark.parametrize("pitch", [7, 12, 24, 60])
def test_knots_and_beads_sit_at_their_points(stage_for: StageFor, kind: PointKind, pitch: int) -> None:
    """A knot or bead has its thread's colour around its point, on corners, edges and middles of squares."""
    spots = np.array([(20, 20), (25, 20), (20, 27), (31, 31)], np.int32).T.copy()
    kinds = np.full(4, kind, np.uint8)
    chart = replace(cloth(), points=Points(spots[0], spots[1], kinds, np.full(4, 2, np.uint16)))
    stage = stage_for(chart)
    for x, y in (spots.T / 2).tolist():
        centred(stage, pitch, x, y)
        # A bead is a ring around its hole.
        away = 0.2 if kind == PointKind.BEAD and pitch >= 12 else 0
        assert np.abs(colour_at(stage, x + away, y) - rgb(THREAD)).max() < 40
        assert np.abs(colour_at(stage, x + 0.75, y + 0.3) - rgb(GROUND)).max() < 160


@pytest.mark.parametrize("family", [1, 2, 3])
@pytest.mark.parametrize("look", [0, 4, 8, 12])
@pytest.mark.parametrize("pitch", [7, 12, 24])
def test_every_kind_of_stitch_shows_when_it_is_done(
    stage_for: StageFor, family: int, look: int, pitch: int
) -> None:
    """Part stitches, lines and points look different once marked, in every look, and as before unpicked."""
    free = cloth()
    squares = free.squares.copy()
    squares[10, 10] = 0
    chart = replace(
        free,
        squares=squares,
        parts=one_part(10, 10, PartShape.THREE_QUARTER_TOP_LEFT),
        lines=one_line((18, 18, 24, 21)),
        points=one_point(19, 24),
    )
    stage = stage_for(chart)
    stage.look(look)
    centred(stage, pitch, 10.5, 10.5)
    to_do = stage.shown()
    stage.mark(family, 0, 1, 1)
    # In the worked look lines and points have room for their stitches only where they are drawn finely.
    if family == 1 or pitch >= SMALLEST_FINE or not LOOKS[look].worked:
        assert (stage.shown() != to_do).sum() >= 4
    stage.undo()
    assert np.array_equal(stage.shown(), to_do)


@pytest.mark.parametrize("shape", PartShape)
def test_a_part_stitch_fills_its_part(stage_for: StageFor, shape: PartShape) -> None:
    """A part stitch covers about the share of its square that it has on the cloth; the rest is bare."""
    stage = stage_for(with_one_part(shape), 300, 300)
    centred(stage, 30, 4.5, 4.5)
    x, y = stage.canvas.view.pixel_of(4, 4)
    square = stage.shown_canvas()[y + 2 : y + 30, x + 2 : x + 30]
    bare = (square == 0xFFFFFFFF).mean()
    covered = {1: 0.4, 2: 0.4, 3: 0.25, 4: 0.25, 5: 0.25, 6: 0.25, 7: 0.5, 8: 0.5, 9: 0.5, 10: 0.5}[shape]
    assert 1 - bare == pytest.approx(covered, abs=0.15)


def test_far_out_part_stitches_give_their_square_a_mean_colour(stage_for: StageFor) -> None:
    """Where its shape cannot be told, a half stitch colours its square halfway between thread and cloth."""
    stage = stage_for(with_one_part())
    centred(stage, 6, 4.5, 4.5)
    wanted = mixed(rgb(THREAD), rgb(Colour(255, 255, 255)), 0.5)
    assert np.abs(colour_at(stage, 4.5, 4.5) - wanted).max() <= 1


def test_marks_of_stitches_far_out_show_too(stage_for: StageFor) -> None:
    """Part stitches marked far out change the colour of their square."""
    stage = stage_for(with_one_part())
    for pitch in (0.5, 2, 6):
        stage.zoom(pitch, 0, 0)
        before = stage.shown()
        stage.take([Step("mark", (1, 0, 1, 1))])
        assert (stage.shown() != before).any()
        stage.undo()
        assert np.array_equal(stage.shown(), before)

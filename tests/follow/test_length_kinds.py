"""Stitch kinds against explicit paths from hole to hole, and against numbers of a handbook of 1886."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.follow.clothpitch import Pitch
from stitchview.follow.length import (
    Needle,
    back_lines_mm,
    back_stitch_mm,
    bead_mm,
    cross_mm,
    double_running_mm,
    knot_mm,
    straight_mm,
)

SQUARE = Needle(pitch=Pitch(1.0, 1.0))
FOURTEEN = Needle(pitch=Pitch(25.4 / 14, 25.4 / 14))
PITCHES = st.builds(Pitch, st.floats(0.5, 5), st.floats(0.5, 5))
Hole = tuple[float, float]


def path_mm(pitch: Pitch, holes: list[Hole]) -> float:
    """The thread through holes in turn, up and down, counted in squares: no formula of ours."""
    return sum(
        math.hypot((b[0] - a[0]) * pitch.across_mm, (b[1] - a[1]) * pitch.down_mm) for a, b in pairwise(holes)
    )


def a_stitch_mm(pitch: Pitch, first: list[Hole], step: Hole, count: int = 2000) -> float:
    """One stitch of a long line: the same holes over and over, each time a step on."""
    holes = [(x + n * step[0], y + n * step[1]) for n in range(count) for x, y in first]
    once = path_mm(pitch, first)
    return (path_mm(pitch, holes) - once) / (count - 1)


@given(PITCHES)
def test_kinds_are_as_long_as_their_paths(pitch: Pitch) -> None:
    """Double running, on even and uneven cloth."""
    needle = Needle(pitch=pitch)
    there_and_back = [(float(n), 0.0) for n in range(101)] + [(100.0 - n, 0.0) for n in range(1, 101)]
    line_mm = 100 * pitch.across_mm
    assert double_running_mm(needle, line_mm, 100) == pytest.approx(path_mm(pitch, there_and_back))


def test_numbers_of_long_runs() -> None:
    """In squares, as shared/checks.md, section 2.1, gives them (H12, H13 of the handbook)."""
    assert double_running_mm(SQUARE, 25, 25) == 50
    assert straight_mm(SQUARE, 7.5) == 7.5
    assert back_lines_mm(SQUARE, 40, 40, 1) == pytest.approx(40 + 2 * 39)


def test_the_handbook_draws_out_six_and_puts_back_three() -> None:
    """Back stitch by H13: three threads in front and six behind for every stitch, but for the last."""
    threads = Needle(pitch=Pitch(1.0, 1.0))
    assert back_stitch_mm(threads, 3, 100) == pytest.approx(100 * 3 + 99 * 6)


def test_knots_are_the_estimates_that_were_written_down() -> None:
    """One, two and three turns at 14 to the inch with half a millimetre of cloth (checks.md, 2.4)."""
    needle = Needle(pitch=FOURTEEN.pitch, cloth_mm=0.5)
    told = [knot_mm(needle, turns) for turns in (1, 2, 3)]
    assert told == pytest.approx([5.99, 10.08, 14.16], abs=0.02)


def test_beads_are_sewn_on_by_half_a_cross_or_a_whole_one() -> None:
    """Common practice; the one takes half as much thread as the other, to and fro."""
    assert bead_mm(FOURTEEN, whole_cross=True) == cross_mm(FOURTEEN)
    assert bead_mm(FOURTEEN) == pytest.approx(4.380073, abs=5e-7)
    assert 2 * bead_mm(FOURTEEN) == pytest.approx(cross_mm(FOURTEEN))

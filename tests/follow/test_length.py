"""The length model against worked values from outside: checks.md, sections 2.1 to 2.4."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.stitches import PartShape
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.length import (
    Needle,
    Working,
    back_stitch_mm,
    block_mm,
    cross_mm,
    crosses_in_length,
    part_mm,
    row_mm,
)

UNIT = Pitch(1, 1)
INCH = 25.4


def squares_to_the_inch(count: float, working: Working = Working.ROWS) -> Needle:
    return Needle(Pitch(INCH / count, INCH / count), working)


@pytest.mark.parametrize(
    ("working", "factor"), [(Working.ROWS, 2 * math.sqrt(2) + 2), (Working.AT_ONCE, 3 * math.sqrt(2) + 1)]
)
def test_a_cross_of_a_long_row(working: Working, factor: float) -> None:
    """Rows there and back take 2√2 + 2 widths a cross, each cross completed 3√2 + 1 (checks.md, 2.1)."""
    for upright in (False, True):
        assert cross_mm(Needle(UNIT, working), upright) == pytest.approx(factor, rel=1e-12)


def test_part_stitches_of_a_long_row() -> None:
    """Half √2 + 1, quarter √2, three-quarter 2√2 + 1, back stitch 3 lines (checks.md, 2.1 and H13)."""
    needle = Needle(UNIT)
    assert part_mm(needle, PartShape.HALF_FALLING) == pytest.approx(2.414214, abs=1e-6)
    assert part_mm(needle, PartShape.QUARTER_TOP_RIGHT) == pytest.approx(1.414214, abs=1e-6)
    assert part_mm(needle, PartShape.THREE_QUARTER_BOTTOM_LEFT) == pytest.approx(3.828427, abs=1e-6)
    assert back_stitch_mm(needle, 1, 1_000_000) / 1e6 == pytest.approx(3, abs=1e-5)
    assert back_stitch_mm(needle, 2.0, 1) == 2


@pytest.mark.parametrize(
    ("columns", "rows", "there_and_back", "brought_back", "to_and_fro"),
    [
        (1, 1, 3.828427, 3.828427, 3.828427),
        (10, 1, 4.728427, 5.101219, 5.101219),
        (10, 10, 4.908427, 5.930978, 5.281219),
        (100, 1, 4.818427, 5.228499, 5.228499),
        (100, 100, 4.838227, 6.208799, 5.248299),
    ],
)
def test_blocks_of_crosses(
    columns: int, rows: int, there_and_back: float, brought_back: float, to_and_fro: float
) -> None:
    """The thread a cross takes in a block, from the table of checks.md, 2.2."""
    in_rows, at_once = Needle(UNIT), Needle(UNIT, Working.AT_ONCE)
    squares = columns * rows
    assert block_mm(in_rows, columns, rows) / squares == pytest.approx(there_and_back, abs=1e-6)
    assert block_mm(at_once, columns, rows) / squares == pytest.approx(brought_back, abs=1e-6)
    assert block_mm(at_once, columns, rows, True) / squares == pytest.approx(to_and_fro, abs=1e-6)


def test_uneven_cloth() -> None:
    """On 14 across and 13 down 10 x 10 in rows take 939.6597 mm; columns are cheaper (checks.md, 2.2)."""
    pitch = Pitch(INCH / 14, INCH / 13)
    assert block_mm(Needle(pitch), 10, 10) == pytest.approx(939.6597, abs=1e-4)
    assert cross_mm(Needle(pitch)) == pytest.approx(9.240289, abs=1e-6)
    assert cross_mm(Needle(pitch), upright=True) == pytest.approx(8.961168, abs=1e-6)
    assert cross_mm(Needle(pitch, Working.AT_ONCE)) == pytest.approx(9.952742, abs=1e-6)


@pytest.mark.parametrize(
    ("count", "rows", "at_once", "half", "back"),
    [
        (11, 11.149277, 12.105734, 5.574639, 6.927273),
        (14, 8.760146, 9.511648, 4.380073, 5.442857),
        (16, 7.665128, 8.322692, 3.832564, 4.762500),
        (18, 6.813447, 7.397949, 3.406724, 4.233333),
        (20, 6.132102, 6.658154, 3.066051, 3.810000),
        (22, 5.574639, 6.052867, 2.787319, 3.463636),
        (25, 4.905682, 5.326523, 2.452841, 3.048000),
        (28, 4.380073, 4.755824, 2.190037, 2.721429),
        (32, 3.832564, 4.161346, 1.916282, 2.381250),
        (36, 3.406724, 3.698974, 1.703362, 2.116667),
        (40, 3.066051, 3.329077, 1.533026, 1.905000),
    ],
)
def test_millimetres_on_known_cloth(
    count: int, rows: float, at_once: float, half: float, back: float
) -> None:
    """Millimetres a cross, a half stitch and a square of back stitch from the table of checks.md, 2.3."""
    needle = squares_to_the_inch(count)
    assert cross_mm(needle) == pytest.approx(rows, abs=1e-6)
    assert cross_mm(squares_to_the_inch(count, Working.AT_ONCE)) == pytest.approx(at_once, abs=1e-6)
    assert part_mm(needle, PartShape.HALF_RISING) == pytest.approx(half, abs=1e-6)
    long_line = back_stitch_mm(needle, INCH / count, 10_000_000) / 1e7
    assert long_line == pytest.approx(back, abs=1e-5)


@pytest.mark.parametrize(
    ("strands", "in_rows", "at_once"),
    [(1, 5479, 5046), (2, 2739, 2523), (3, 1826, 1682), (4, 1369, 1261), (6, 913, 841)],
)
def test_crosses_of_a_skein(strands: int, in_rows: int, at_once: int) -> None:
    """A skein of 8 m of six strands on 14 to the inch, nothing wasted: checks.md, 2.3."""
    for working, crosses in ((Working.ROWS, in_rows), (Working.AT_ONCE, at_once)):
        pitch = Pitch(INCH / 14, INCH / 14)
        needle = Needle(pitch, working, strands=strands)
        assert int(8000 * 6 / needle.strand_mm(cross_mm(needle))) == crosses


def test_one_working_length() -> None:
    """45 cm less both tails are 370 mm: 42 crosses in rows, 39 completed at once (checks.md, 2.4, H15)."""
    rows, at_once = squares_to_the_inch(14), squares_to_the_inch(14, Working.AT_ONCE)
    assert rows.usable_mm == 370
    assert rows.efficiency == pytest.approx(0.822222, abs=1e-6)
    assert crosses_in_length(rows) == 42
    assert crosses_in_length(at_once) == 39
    assert row_mm(rows, 42) == pytest.approx(366.11, abs=0.01)
    assert row_mm(at_once, 39) == pytest.approx(368.39, abs=0.01)


def test_a_loop_needs_no_start_tail() -> None:
    """One strand folded double is begun with a loop; three strands cannot be."""
    assert Needle(loop_start=True).usable_mm == 400
    with pytest.raises(CommandError, match="even number of strands"):
        Needle(strands=3, loop_start=True)


def test_thick_cloth_takes_more() -> None:
    """0.5 mm a pass and four passes a cross at 14: 10.760146 and 11.511648 mm (checks.md, 2.4)."""
    pitch = Pitch(INCH / 14, INCH / 14)
    assert cross_mm(Needle(pitch, cloth_mm=0.5)) == pytest.approx(10.760146, abs=1e-6)
    assert cross_mm(Needle(pitch, Working.AT_ONCE, cloth_mm=0.5)) == pytest.approx(11.511648, abs=1e-6)
    assert cross_mm(Needle(pitch, cloth_mm=0.5, factor=2)) == pytest.approx(2 * 10.760146, abs=1e-6)


@given(st.floats(0.3, 5), st.floats(0.3, 5), st.integers(1, 60), st.sampled_from(Working))
def test_rows_add_up(across: float, down: float, crosses: int, working: Working) -> None:
    """A row of n crosses costs n - 1 crosses of a long row and one without a way onward."""
    needle = Needle(Pitch(across, down), working, length_mm=10_000)
    first = row_mm(needle, 1)
    assert row_mm(needle, crosses) == pytest.approx(first + (crosses - 1) * cross_mm(needle))
    assert row_mm(needle, crosses_in_length(needle)) <= needle.usable_mm + 1e-6
    assert row_mm(needle, crosses_in_length(needle) + 1) > needle.usable_mm


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"length_mm": 60.0}, "all tail"),
        ({"length_mm": math.nan}, "below 0 mm"),
        ({"end_tail_mm": -1.0}, "below 0 mm"),
        ({"factor": 0.0}, "below 0 mm"),
        ({"strands": 0}, "no strand"),
    ],
)
def test_no_needle_is_like_that(wrong: dict[str, float], said: str) -> None:
    """A setting that makes no sense is refused in a sentence."""
    with pytest.raises(CommandError, match=said):
        Needle(**wrong)  # type: ignore[arg-type]


def test_nothing_takes_nothing() -> None:
    """A row without a cross takes no thread, and a thread shorter than a cross makes none."""
    assert row_mm(Needle(), 0) == 0
    assert crosses_in_length(Needle(length_mm=81)) == 0

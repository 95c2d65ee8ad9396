"""The pitch of the cloth, held to checks.md sections 1 and 6.2."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.model import Cloth
from stitchview.follow.clothpitch import USUAL_PITCH, Pitch, pitch_of


@pytest.mark.parametrize(
    ("count", "hundred"),
    [
        (11, 230.9091), (14, 181.4286), (16, 158.75), (18, 141.1111), (20, 127.0), (22, 115.4545),
        (25, 101.6), (28, 90.7143), (32, 79.375), (36, 70.5556), (40, 63.5),
    ],
)  # fmt: skip
def test_a_hundred_stitches_are_as_wide_as_published(count: float, hundred: float) -> None:
    """A hundred stitches on each common cloth, over one thread and over two (checks.md, section 1)."""
    assert pitch_of(Cloth(count=count)).across_mm * 100 == pytest.approx(hundred, abs=5e-5)
    assert pitch_of(Cloth(count=count, over=2)).down_mm * 100 == pytest.approx(2 * hundred, abs=1e-4)


def test_28_over_two_is_14_over_one() -> None:
    """The well-known equivalence, and what is taken where no cloth is named (checks.md, section 1)."""
    assert pitch_of(Cloth(count=28, over=2)) == pitch_of(Cloth(count=14)) == pitch_of(None) == USUAL_PITCH
    assert USUAL_PITCH.across_mm == pytest.approx(1.8142857, abs=5e-8)


def test_a_count_told_over_10_centimetres() -> None:
    """112 threads in 10 cm are 28.448 to the inch (checks.md, section 1)."""
    by_cm = pitch_of(Cloth(count=112, per_100_mm=True, over=2))
    assert by_cm.across_mm == pytest.approx(pitch_of(Cloth(count=28.448, over=2)).across_mm, rel=1e-12)


def test_uneven_cloth_is_longer_downwards() -> None:
    """14 across and 13 down: 200 squares are 27.912 mm longer downwards (checks.md, section 1)."""
    pitch = pitch_of(Cloth(count=14), count_down=13)
    assert 200 * pitch.across_mm == pytest.approx(362.857, abs=5e-4)
    assert 200 * (pitch.down_mm - pitch.across_mm) == pytest.approx(27.912, abs=5e-4)


def test_distances_on_the_cloth() -> None:
    """3 columns and 4 rows at 14 are 9.071429 mm, which is 5 squares (checks.md, section 6.2)."""
    assert USUAL_PITCH.apart(3, -4) == pytest.approx(9.071429, abs=5e-7)
    uneven = pitch_of(Cloth(count=14), count_down=13)
    assert uneven.apart(11, 0) == pytest.approx(19.957143, abs=5e-7)
    assert uneven.apart(0, 10) == pytest.approx(19.538462, abs=5e-7)


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.inf, math.nan])
def test_a_square_without_width_is_refused(wrong: float) -> None:
    """A pitch of nothing would make every distance nothing."""
    with pytest.raises(ValueError, match="above 0 mm"):
        Pitch(wrong, 1.0)
    with pytest.raises(ValueError, match="above 0 mm"):
        Pitch(1.0, wrong)


@given(st.floats(0.25, 1000), st.integers(1, 16))
def test_a_cloth_counted_over_10_centimetres_and_over_an_inch_is_one_cloth(count: float, over: int) -> None:
    """The millimetre and the inch way agree to 1e-12 (checks.md, section 1)."""
    inches = pitch_of(Cloth(count=count, over=over))
    hundreds = pitch_of(Cloth(count=count / 25.4 * 100, per_100_mm=True, over=over))
    assert inches.across_mm == pytest.approx(hundreds.across_mm, rel=1e-12)

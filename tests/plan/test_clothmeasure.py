"""Counting threads on the cloth: what it tells, how sure it is, and when it tells nothing."""

import math

import numpy as np
import pytest
from scipy import stats

from stitchview.errors import CommandError
from stitchview.follow.clothpitch import INCH_MM
from stitchview.plan.clothmeasure import Measured, MeasuredCloth, measured


def test_one_count_over_10_cm_is_a_thread_unsure() -> None:
    """112 threads in 10 cm are 28.448 to the inch, 28.194 to 28.702 (checks.md, section 1)."""
    found = Measured((112,)).per(INCH_MM)
    assert found == pytest.approx((28.194, 28.448, 28.702), abs=5e-4)
    assert Measured((112,)).words == "28.4 threads to the inch, 28.2 to 28.7 (112.0 to 10 cm)"


def test_places_that_differ_are_as_unsure_as_student_says() -> None:
    """The part that comes from the places is scipy's t interval for 80 %."""
    for counts in ((110, 112, 114), (55, 56), tuple(range(100, 110))):
        low, high = stats.t.interval(
            0.8, len(counts) - 1, loc=np.mean(counts), scale=stats.sem(np.array(counts, float))
        )
        by_places = math.sqrt(Measured(counts).spread ** 2 - 1 / len(counts))
        assert by_places == pytest.approx((high - low) / 2, rel=1e-4)


def test_more_places_that_agree_make_it_surer() -> None:
    """Three equal counts are surer than one, and never quite sure."""
    assert 0 < Measured((112, 112, 112)).spread < Measured((112,)).spread


def test_the_interval_holds_the_truth_as_often_as_it_says() -> None:
    """Simulated cloths that vary from place to place, counted at three, each count cut to whole threads."""
    chance = np.random.default_rng(5)
    held = 0
    for _ in range(2000):
        truth = chance.uniform(45, 130)
        counts = chance.normal(truth, 1.5, 3) + chance.uniform(-0.5, 0.5, 3)
        found = Measured(tuple(float(round(each)) for each in counts))
        held += found.least <= truth <= found.most
    assert held / 2000 >= 0.8


def test_an_uneven_cloth_is_told_from_a_badly_counted_one() -> None:
    """A thread more is no unevenness; seven are."""
    square = MeasuredCloth(Measured((55, 55, 55)), Measured((55, 54, 55)))
    assert not square.tells_uneven
    uneven = MeasuredCloth(Measured((55, 55, 56)), Measured((51, 51, 51)))
    assert uneven.tells_uneven
    low, middle, high = uneven.off_true
    assert 1 < low.ratio < middle.ratio < high.ratio
    assert middle.ratio == pytest.approx((166 / 3) / 51)
    assert uneven.count(1, True).across == pytest.approx(166 / 3)
    assert uneven.count(2, False).down == pytest.approx(51 * 0.254)


def test_places_left_empty_are_passed_over() -> None:
    """Two of three places filled in."""
    assert measured([55, 0, 56]).threads == (55, 56)


@pytest.mark.parametrize("threads", [(), (-3,), (math.nan,), (1e6,), (5,) * 11])
def test_counts_that_cannot_be_are_refused(threads: tuple[float, ...]) -> None:
    """None, less than none, too many, too many places."""
    with pytest.raises(CommandError):
        Measured(threads)


def test_wild_counts_still_leave_a_cloth() -> None:
    """However far two places differ, the least is above nothing."""
    assert Measured((1, 100)).least > 0
    with pytest.raises(CommandError):
        Measured((50,), 0)

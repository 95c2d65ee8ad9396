"""What is learnt when a needleful is used up."""

import numpy as np
import pytest

from stitchview.follow.calibration import Estimate, Outcome, corrected, needle_as_used, outcome_of
from stitchview.follow.length import Needle
from stitchview.follow.needleful import Wish, used_up
from tests.follow.needlecharts import chart_of, check, finish, proposed, squares_of, work_on


def test_used_up_early() -> None:
    """What was done when the thread was used up stands by itself; the rest is open again."""
    work = work_on(chart_of(np.ones((30, 30))))
    path = proposed(work, Wish(1, (0, 0)))
    done = used_up(path, 9)
    check(work, done)
    assert squares_of(done) == squares_of(path)[:10]
    assert done.left_after == 890
    assert done.left_mm == pytest.approx(path.wish.needle.usable_mm - path.used_mm[9])
    assert len(used_up(path, -1)) == 0
    assert used_up(path, len(path) - 1) is path
    with pytest.raises(ValueError, match="no stitch number"):
        used_up(path, len(path))
    assert used_up(path, -1).selection(30).empty


def test_the_estimate_follows_what_was_used() -> None:
    """Thread used up a fifth early, again and again, brings the factor from 1 to 1.25, and needlefuls fit."""
    work = work_on(chart_of(np.ones((100, 100))))
    estimate, needle = Estimate(), Needle()
    assert estimate.factor == 1
    factors = []
    for _ in range(60):
        path = proposed(work, Wish(1, (0, 0), needle_as_used(needle, estimate)))
        really = int(
            np.searchsorted(path.used_mm / path.wish.needle.factor * 1.25, needle.usable_mm, "right")
        )
        finish(work, used_up(path, min(really, len(path)) - 1))
        left = (
            0.0
            if really < len(path)
            else needle.usable_mm - 1.25 * path.used_mm[-1] / path.wish.needle.factor
        )
        estimate = corrected(estimate, outcome_of(path, min(really, len(path)) - 1, left))
        factors.append(estimate.factor)
    assert 1 < factors[0] < 1.1
    assert factors[-1] == pytest.approx(1.25, abs=0.03)
    assert estimate.needlefuls == 60


def test_the_estimate_without_prior_is_used_by_done() -> None:
    """72 m of strand for 3 100 crosses are 23.225806 mm each, as in checks.md, section 2.5."""
    needle = Needle(strands=2)
    reckoned = 3100 * 17.520293 / 2
    estimate = corrected(Estimate(prior_mm=0), Outcome(reckoned, 72_000 / needle.strands))
    assert 17.520293 * estimate.factor == pytest.approx(23.225806, abs=1e-5)


def test_a_lost_thread_teaches_little() -> None:
    """A thread that frayed after one stitch counts as double at most, and one not begun not at all."""
    estimate = corrected(Estimate(), Outcome(9, 370))
    assert estimate.used_mm == 18
    assert corrected(estimate, Outcome(0, 370)) == estimate
    assert corrected(estimate, Outcome(9, 0)) == estimate
    assert Estimate(prior_mm=0).factor == 1

"""Needlefuls that ended are noted, and the notes teach what the needlefuls did."""

import numpy as np
import pytest

from stitchview.done.notebook import Notes
from stitchview.follow.calibration import Estimate, corrected, outcome_of
from stitchview.follow.needleful import Wish
from stitchview.follow.needlefulends import end_of, estimate_of
from tests.follow.needlecharts import chart_of, proposed, squares_of, work_on


def test_a_needleful_used_up_here() -> None:
    """The note tells the thread, how many stitches it covered, where it ended, and what was used."""
    work = work_on(chart_of(np.ones((30, 30)), 3))
    path = proposed(work, Wish(1, (4, 4)))
    end = end_of(work.chart, path, 9, left_mm=20)
    assert (end.code, end.stitches, end.used_up) == ("a", 10, True)
    assert (end.column, end.row) == squares_of(path)[9]
    outcome = outcome_of(path, 9, 20)
    assert (end.reckoned_mm, end.used_mm) == (outcome.reckoned_mm, outcome.used_mm)
    none = end_of(work.chart, path, -1)
    assert (none.stitches, none.column, none.row, none.reckoned_mm) == (0, 4, 4, 0)
    assert none.id != end.id
    with pytest.raises(ValueError, match="no stitch number"):
        end_of(work.chart, path, len(path))


def test_the_estimate_is_that_of_the_outcomes() -> None:
    """Learnt again from the notes, the factor is what it was when each needleful ended."""
    work = work_on(chart_of(np.ones((40, 40)), 3))
    notes, estimate = Notes(), Estimate()
    for number in range(12):
        path = proposed(work, Wish(1, (number, number)))
        at = len(path) - 1 - 3 * number
        put = notes.putting(end_of(work.chart, path, at))
        assert put is not None
        notes, estimate = notes.after(put), corrected(estimate, outcome_of(path, at))
    assert len(notes.needlefuls) == 12
    assert estimate_of(notes.needlefuls).factor == pytest.approx(estimate.factor)
    assert estimate_of(notes.needlefuls).needlefuls == 12
    assert estimate_of(notes.needlefuls, "a") == estimate_of(notes.needlefuls)
    assert estimate_of(notes.needlefuls, "b") == Estimate()
    assert estimate_of(()).factor == 1


def test_a_needleful_worked_as_proposed_teaches_nothing() -> None:
    """Only of a thread that was used up is known how long it was."""
    work = work_on(chart_of(np.ones((30, 30))))
    path = proposed(work, Wish(1, (4, 4)))
    end = end_of(work.chart, path, len(path) - 1, used_up=False)
    assert end.stitches == len(path)
    assert estimate_of([end]) == Estimate()

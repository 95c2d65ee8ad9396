"""Needlefuls that came to their end, noted beside the marks, and what is learnt from all of them."""

from collections.abc import Iterable

from stitchview.chart.model import Chart
from stitchview.done.ids import new_name
from stitchview.done.notes import MOST_MM, NeedlefulEnd
from stitchview.follow.calibration import Estimate, Outcome, corrected, outcome_of
from stitchview.follow.needleful import Needleful


def end_of(
    chart: Chart, path: Needleful, at: int, left_mm: float = 0.0, used_up: bool = True
) -> NeedlefulEnd:
    """The note of a needleful that ended with stitch `at` of its path finished, -1 for none of them.

    `used_up` tells that the thread was used up there but for `left_mm` and the end tail; without it
    the needleful was worked as proposed, and nothing is learnt. It is put among the notes with
    `Notes.putting`. Raises `ValueError` for a stitch that the path has not.
    """
    outcome, stitches, wish = outcome_of(path, at, left_mm), path.stitches, path.wish
    place = (int(stitches.columns[at]), int(stitches.rows[at])) if at >= 0 else wish.place
    return NeedlefulEnd(
        new_name(),
        chart.key[wish.number - 1].code,
        at + 1,
        *place,
        used_up,
        min(max(outcome.reckoned_mm, 0.0), MOST_MM),
        min(outcome.used_mm, MOST_MM),
    )


def estimate_of(ends: Iterable[NeedlefulEnd], code: str | None = None) -> Estimate:
    """What the needlefuls that were used up say of her use of thread, all or those of one key entry."""
    estimate = Estimate()
    for end in ends:
        if end.used_up and code in (None, end.code):
            estimate = corrected(estimate, Outcome(end.reckoned_mm, end.used_mm))
    return estimate

"""Needlefuls where there is little to stitch, or little thread, or light cloth."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.model import Chart
from stitchview.chart.stitches import LineKind, Lines, Parts, PartShape
from stitchview.done.change import Selection
from stitchview.errors import CommandError
from stitchview.follow.carrying import Carrying
from stitchview.follow.length import Needle, Working
from stitchview.follow.needleful import Wish
from stitchview.follow.proposing import next_needleful, why_none
from tests.follow.needlecharts import chart_of, check, drawn, finish, proposed, squares_of, work_on


def test_never_across_bare_cloth_if_asked() -> None:
    """With light cloth in between it goes round behind other threads or stops; else it goes straight."""
    chart = drawn("aaa...aaa", ".........")
    assert len(proposed(work_on(chart), Wish(1, (0, 0)))) == 6
    kept_off = Wish(1, (0, 0), carrying=Carrying(under_stitches=True))
    assert squares_of(proposed(work_on(chart), kept_off)) == [(0, 0), (1, 0), (2, 0)]
    chart = drawn("aaabbbaaa", ".........")
    assert len(proposed(work_on(chart), kept_off)) == 6


def test_part_stitches_of_another_thread_cover_cloth() -> None:
    """A square that holds only a part stitch is not bare."""
    chart = drawn("a.a")
    column, row = np.array([1], np.int32), np.array([0], np.int32)
    part = Parts(column, row, np.array([PartShape.HALF_RISING], np.uint8), np.array([2], np.uint16))
    wish = Wish(1, (0, 0), carrying=Carrying(under_stitches=True))
    assert len(proposed(work_on(chart), wish)) == 1
    assert len(proposed(work_on(replace(chart, parts=part)), wish)) == 2


def test_islands_too_far_to_carry_are_left_for_another_thread() -> None:
    """10 mm reach over five squares at 14 to the inch, not over six; what is left is told."""
    near, far = drawn("a" + 5 * "." + "a"), drawn("a" + 7 * "." + "a")
    assert proposed(work_on(near), Wish(1, (0, 0))).left_after == 0
    path = proposed(work_on(far), Wish(1, (0, 0)))
    assert squares_of(path) == [(0, 0)]
    assert path.left_after == 1
    assert len(proposed(work_on(far), Wish(1, (0, 0), carrying=Carrying(14)))) == 2


def test_part_stitches_only() -> None:
    """A thread of part stitches alone is worked as well, two in one square too; once done it is finished."""
    shapes = np.array([*PartShape, PartShape.QUARTER_TOP_LEFT], np.uint8)
    places = np.array([0, 1, 2, 3, 4, 5, 6, 7, 8, 8, 9], np.int32)
    keys = np.array([1] * 10 + [2], np.uint16)
    chart = replace(chart_of(np.zeros((1, 10)), 2), parts=Parts(places, np.zeros(11, np.int32), shapes, keys))
    work = work_on(chart)
    path = proposed(work, Wish(1, (4, 0)))
    check(work, path)
    assert sorted(path.stitches.parts.tolist()) == list(range(10))
    finish(work, path)
    assert next_needleful(work, Wish(1, (4, 0))) is None
    assert why_none(work.left(1), "sample cotton a") == "Sample cotton a is finished."


def test_a_thread_of_lines_has_no_needleful() -> None:
    """Only lines are left: nothing is proposed, and it is said why."""
    start, end = np.array([0], np.int32), np.array([2], np.int32)
    lines = Lines(
        start, start.copy(), end, end.copy(), np.array([LineKind.BACK], np.uint8), np.array([2], np.uint16)
    )
    work = work_on(replace(drawn("aa", "aa"), lines=lines))
    assert next_needleful(work, Wish(2, (0, 0))) is None
    assert "only lines, knots or beads" in why_none(work.left(2), "Sample cotton b")


def test_nothing_to_propose() -> None:
    """Bare charts and finished threads have no needleful; a number the key lacks is refused."""
    assert next_needleful(work_on(drawn("..", "..")), Wish(1, (0, 0))) is None
    assert next_needleful(work_on(drawn("bb")), Wish(1, (0, 0))) is None
    with pytest.raises(ValueError, match="no entry number 3"):
        next_needleful(work_on(drawn("ab")), Wish(3, (0, 0)))


def test_a_thread_too_short_for_one_cross() -> None:
    """82 mm with 80 mm of tails makes no cross, and says so."""
    with pytest.raises(CommandError, match="too short for one stitch"):
        next_needleful(work_on(drawn("aa")), Wish(1, (0, 0), Needle(length_mm=82)))


def test_a_carry_must_be_a_length() -> None:
    """A carry below nothing is refused; one of a kilometre is looked for only so far."""
    with pytest.raises(CommandError, match="cannot be carried"):
        Carrying(-1)
    assert len(proposed(work_on(drawn("a" + 20 * "." + "a")), Wish(1, (0, 0), carrying=Carrying(1e6)))) == 2


def test_the_rest_of_the_chart_does_not_matter() -> None:
    """The same surroundings give the same needleful, wherever they lie on however big a chart."""
    random = np.random.default_rng(5)
    patch = (random.random((120, 120)) < 0.4).astype(np.uint16)
    big = np.zeros((700, 900), np.uint16)
    big[300:420, 500:620] = patch
    for working in Working:
        small = proposed(work_on(chart_of(patch)), Wish(1, (60, 60), Needle(working=working)))
        same = proposed(work_on(chart_of(big)), Wish(1, (560, 360), Needle(working=working)))
        assert squares_of(same) == [(x + 500, y + 300) for x, y in squares_of(small)]


def test_a_needleful_can_be_marked(small_chart: Callable[[], Chart]) -> None:
    """On a chart with every kind of stitch, squares and part stitches of one thread are marked together."""
    work = work_on(small_chart())
    path = proposed(work, Wish(1, (0, 0), carrying=Carrying(50)))
    chosen = path.selection(work.chart.columns)
    assert isinstance(chosen, Selection)
    assert len(chosen.parts) == int((work.chart.parts.keys == 1).sum())
    finish(work, path)
    assert work.left(1).in_squares == 0

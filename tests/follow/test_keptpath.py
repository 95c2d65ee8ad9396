"""A proposed path is the same path again the next evening, or none."""

import json
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.model import Chart
from stitchview.done.change import DONE, Selection
from stitchview.done.marks import Marks, change_to
from stitchview.follow.keptpath import kept_path, path_again, path_read, path_written
from stitchview.follow.needleful import Needleful, Wish
from stitchview.follow.proposing import next_needleful
from stitchview.follow.threadwork import ThreadWork


def proposed(marks: Marks, wish: Wish) -> Needleful:
    """The path that is proposed."""
    path = next_needleful(ThreadWork(marks), wish)
    assert path is not None
    return path


@pytest.mark.parametrize("number", [1, 2, 3])
@pytest.mark.parametrize("worked", [0, 2])
def test_a_path_is_found_again_as_it_was(small_chart: Callable[[], Chart], number: int, worked: int) -> None:
    """Crosses and part stitches in the same order, on a chart that has grown meanwhile, half worked."""
    chart = small_chart()
    wish = Wish(number, (3, 3))
    path = proposed(Marks(chart), wish)
    written = json.loads(json.dumps(path_written(kept_path(path), chart)))
    grown = replace(chart, squares=np.pad(chart.squares, ((0, 0), (0, 3))), origin=(0, 0))
    kept = path_read(written, grown)
    assert kept == kept_path(path)
    marks = Marks(grown)
    for at in range(worked):
        change = change_to(marks, one_of(path, at, grown.columns), DONE)
        assert change is not None
        marks.apply(change)
    again = path_again(kept, ThreadWork(marks), wish)
    assert again is not None
    assert kept_path(again) == kept
    assert again.back_mm == pytest.approx(path.back_mm)
    assert again.used_mm == pytest.approx(path.used_mm)
    assert again.left_after == path.left_after
    assert again.selection(grown.columns).count == path.selection(chart.columns).count


def one_of(path: Needleful, at: int, columns: int) -> Selection:
    """One stitch of a path as marks choose it."""
    one = Needleful(
        path.wish, path.stitches.taken([at]), (range(1),), (), path.used_mm[:1], 0.0, path.left_after
    )
    return one.selection(columns)


def test_a_path_that_is_all_done_or_has_gone_is_none(small_chart: Callable[[], Chart]) -> None:
    """Nothing is left of it, or another thread is in one of its squares."""
    chart = small_chart()
    wish = Wish(1, (3, 3))
    path = proposed(Marks(chart), wish)
    kept, marks = kept_path(path), Marks(chart)
    change = change_to(marks, path.selection(chart.columns), DONE)
    assert change is not None
    marks.apply(change)
    assert path_again(kept, ThreadWork(marks), wish) is None
    squares = chart.squares.copy()
    squares[squares == 1] = 2
    assert path_again(kept, ThreadWork(Marks(replace(chart, squares=squares))), wish) is None
    fewer = replace(chart, parts=chart.parts.__class__())
    with_parts = any(shape for _, _, shape in kept.stitches)
    assert (path_again(kept, ThreadWork(Marks(fewer)), wish) is None) is with_parts

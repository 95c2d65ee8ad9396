"""Two windows on one chart: each takes over what the other marks, and no stroke of either is lost."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, OPEN
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.marks import noting
from stitchview.done.news import news_for
from stitchview.done.notes import Pin

if TYPE_CHECKING:
    from tests.done.conftest import Evening

SameMarks = Callable[[OpenedLayer, OpenedLayer], bool]


def hear(opened: OpenedLayer) -> bool:
    """Take over what is new, as the desk does; whether there was anything."""
    change = news_for(opened)
    if change is not None:
        opened.marks.apply(change)
    return change is not None


def test_marks_of_the_other_window_come_over(
    evening: "Evening", small_chart: Callable[[], Chart], same_marks: SameMarks
) -> None:
    """Marked there, seen here at the next look; asked again there is nothing new."""
    one, two = evening.open(small_chart()), evening.open(small_chart())
    assert not hear(one)
    evening.mark(two, Area(1, 1, 10, 1))
    assert hear(one)
    assert not hear(one)
    assert same_marks(one, two)
    assert one.tally.total() == two.tally.total()
    evening.mark(one, Area(1, 2, 10, 2))
    evening.undo(two)
    assert hear(two)
    assert hear(one)
    assert same_marks(one, two)


def test_a_pin_of_the_other_window_comes_over(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """Notes come as marks do."""
    one, two = evening.open(small_chart()), evening.open(small_chart())
    pinned = two.marks.notes.putting(Pin.new(3, 4, "mast", ""))
    assert pinned is not None
    change = noting(two.marks.chart, pinned)
    two.marks.apply(change)
    two.layer.put(two.history.record(change))
    two.layer.commit()
    assert hear(one)
    assert [pin.name for pin in one.marks.notes.pins] == ["mast"]


def test_own_strokes_that_wait_are_kept_in_mind(
    evening: "Evening", small_chart: Callable[[], Chart], same_marks: SameMarks
) -> None:
    """What this window has marked and the disk has not yet stays marked when news come in."""
    one, two = evening.open(small_chart()), evening.open(small_chart())
    evening.mark(two, Area(1, 1, 10, 1))
    evening.mark(two, Area(3, 1, 2, 1), OPEN)
    before = one.layer.commit
    one.layer.commit = lambda: ()  # type: ignore[method-assign]
    evening.mark(one, Area(2, 1, 4, 3))
    one.layer.commit = before  # type: ignore[method-assign]
    assert one.layer.waiting == 1
    assert hear(one)
    one.layer.commit()
    assert hear(two)
    assert same_marks(one, two)
    assert (one.marks.squares[1:4, 2:6] == DONE).sum() == (small_chart().squares[1:4, 2:6] != 0).sum()


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["mark", "unpick", "undo", "redo", "hear"]), st.booleans(), st.integers(0, 200)
    ),
    max_size=14,
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=60)
@given(steps=STEPS)
def test_whatever_two_windows_do_they_come_to_agree(
    evening: "Evening",
    small_chart: Callable[[], Chart],
    same_marks: SameMarks,
    steps: list[tuple[str, bool, int]],
) -> None:
    """Any mixture of marks, undo, redo and looks at the news: at the end both show what a third finds."""
    for left in list(evening.open_now):
        evening.close(left)
    evening.layer_path.unlink(missing_ok=True)
    windows = evening.open(small_chart()), evening.open(small_chart())
    for name, which, number in steps:
        opened = windows[which]
        area = Area(number % 9, number // 9 % 9, 1 + number % 4, 1 + number // 40)
        if name in ("mark", "unpick"):
            evening.mark(opened, area, DONE if name == "mark" else OPEN)
        elif name == "hear":
            hear(opened)
        else:
            getattr(evening, name)(opened)
    third = evening.open(small_chart())
    for opened in windows:
        hear(opened)
        assert same_marks(opened, third)
        assert opened.history.live == third.history.live
        assert np.array_equal(opened.tally.counts, third.tally.counts)

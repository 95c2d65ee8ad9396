"""However the chart is turned, runs are called as on a chart printed so, and mirrored for the left hand."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.stitches import Parts
from stitchview.chart.turning import MIRRORED, Turn, turned_chart
from stitchview.done.marks import Marks
from stitchview.follow.course import Course, course_seen
from stitchview.follow.length import Needle
from stitchview.follow.route import Stitches, simple_order
from stitchview.follow.runs import Going, RunList, runs_left
from stitchview.follow.threadwork import ThreadWork
from stitchview.follow.turnwords import turn_words

turns = st.builds(Turn, st.integers(0, 3), st.booleans())


def crosses_only(chart: Chart) -> Chart:
    """A chart without part stitches, of which several may share a square."""
    return replace(chart, parts=Parts())


def seen(runs: RunList, turn: Turn, size: tuple[int, int]) -> list[tuple[int, int, list[tuple[int, int]]]]:
    """Each run as thread, skip and squares, where they are seen."""
    every = (runs[at] for at in range(len(runs)))
    return [(run.number, run.skip, [turn.square(*each, *size) for each in run.squares]) for run in every]


@given(turns, st.booleans(), st.booleans(), st.sampled_from(Going), st.integers(0, 99))
def test_runs_follow_the_view(
    random_chart: Callable[[int, int, int, int], Chart],
    turn: Turn,
    down: bool,
    left_handed: bool,
    going: Going,
    seed: int,
) -> None:
    """Run by run the same as on the turned chart itself; the left hand's are those of its mirror image."""
    chart, size = crosses_only(random_chart(11, 8, 3, seed)), (11, 8)
    area = Area(seed % 4, seed % 3, 6, 5)
    course = course_seen(down, turn, left_handed)
    runs = runs_left(ThreadWork(Marks(chart)), area, None, going, course)
    whole = turn.then(MIRRORED) if left_handed else turn
    printed = turned_chart(chart, whole)
    plain = runs_left(
        ThreadWork(Marks(printed)), whole.area(area, *size), None, going, Course(down != turn.lies)
    )
    assert seen(runs, whole, size) == seen(plain, Turn(), whole.size(*size))


@given(turns, st.integers(0, 99))
def test_rows_follow_the_view(
    random_chart: Callable[[int, int, int, int], Chart], turn: Turn, seed: int
) -> None:
    """Line by line as she reads the turned chart, joined squares there and back."""
    chart, size = crosses_only(random_chart(7, 6, 2, seed)), (7, 6)
    printed = turned_chart(chart, turn)

    def squares(each: Chart, course: Course) -> list[list[tuple[int, int]]]:
        rows, columns = np.nonzero(each.squares == 1)
        none = np.full(len(rows), -1)
        stitches = Stitches(columns.astype(np.int64), rows.astype(np.int64), none, none + 1)
        order = simple_order(stitches, Needle(), course)
        return [[(int(columns[at]), int(rows[at])) for at in journey] for journey in order]

    mine = squares(chart, course_seen(turn.lies, turn))
    assert [[turn.square(*at, *size) for at in journey] for journey in mine] == squares(printed, Course())


def test_it_is_told_where_the_top_is_and_how_legs_lean() -> None:
    """A quarter turn brings the top to the right and makes falling legs rise; half a turn changes no lean."""
    assert turn_words(Turn()).endswith("at the top. Seen so, upper legs fall to the right, like \\.")
    assert turn_words(Turn(1)).startswith("The top of the chart is on the right. Seen so, upper legs rise")
    assert turn_words(Turn(2)).startswith("The top of the chart is at the bottom. Seen so, upper legs fall")
    assert "from behind. Seen so, upper legs rise" in turn_words(MIRRORED)

"""Lines in half squares: what goes on in one another, and what is cut away."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from stitchview.sheets.linework import joined_lines, lines_within, lines_without, on_its_way, single_steps

PLACES = st.tuples(st.integers(-6, 12), st.integers(-6, 12))
LINES = (
    st.tuples(PLACES, PLACES).filter(lambda ends: ends[0] != ends[1]).map(lambda ends: [*ends[0], *ends[1]])
)


def test_lines_that_meet_on_one_way_become_one() -> None:
    """Two halves of a mast are one line; a yard that crosses it is another."""
    lines = [[0, 0, 0, 4], [0, 8, 0, 4], [2, 4, -2, 4], [0, 9, 0, 12]]
    assert sorted(joined_lines(lines).tolist()) == [[-2, 4, 2, 4], [0, 0, 0, 8], [0, 9, 0, 12]]


def test_parallel_lines_stay_apart() -> None:
    """Lines half a square apart never become one, straight, slanting or by a knight's step."""
    for dx, dy in ((2, 0), (0, 2), (2, 2), (2, -2), (2, 1), (1, 2), (1, -2)):
        lines = [[0, 0, dx, dy], [1, 0, 1 + dx, dy], [0, 1, dx, 1 + dy]]
        ways = {on_its_way(line)[0] for line in lines}
        assert len(joined_lines(lines)) == len(ways) >= 2


@given(lines=st.lists(LINES, max_size=6), taken=st.lists(LINES, max_size=6))
def test_joining_and_cutting_keep_every_step(lines: list[list[int]], taken: list[list[int]]) -> None:
    """No step is lost or invented, whatever the lines."""
    steps = single_steps(lines)
    assert single_steps(joined_lines(lines).tolist()) == steps
    assert single_steps(lines_without(lines, taken).tolist()) == steps - single_steps(taken)


def test_only_what_lies_in_the_box_is_kept() -> None:
    """A rope that leaves the sheet is kept as far as the edge."""
    assert lines_within([[0, 3, 10, 3]], (2, 0, 7, 6)).tolist() == [[2, 3, 7, 3]]
    assert lines_within([[0, 3, 10, 3]], (2, 4, 7, 6)).shape == (0, 4)
    assert joined_lines([]).dtype == np.int32

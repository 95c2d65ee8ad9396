"""Counts of stitches and of what is done, as lines to read and as members for programs."""

import json
from collections.abc import Callable

import numpy as np
import pytest

from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE
from stitchview.done.counts import Tally
from stitchview.done.inventory import lines_of, members_of
from stitchview.done.marks import open_states


@pytest.fixture
def chart(small_chart: Callable[[], Chart]) -> Chart:
    """The small harbour with every kind of stitch."""
    return small_chart()


@pytest.fixture
def half_done(chart: Chart) -> Tally:
    """The counts when the upper half of the squares and all knots and beads are done."""
    squares, parts, lines, points = (states.copy() for states in open_states(chart))
    squares[: chart.rows // 2][chart.squares[: chart.rows // 2] > 0] = 1
    points[:] = 1
    return Tally(chart, (squares, parts, lines, points))


def test_members_hold_what_can_be_counted_by_hand(chart: Chart, half_done: Tally) -> None:
    """Crosses, parts, lines, points and done stitches agree with plain counts on the arrays."""
    members = members_of(chart, half_done, ["a notice"])
    assert json.loads(json.dumps(members)) == members
    crosses = int((chart.squares > 0).sum())
    assert members["stitches"]["crosses"] == crosses
    parts = sum(members["stitches"][kind] for kind in ("halves", "quarters", "three_quarters"))
    assert parts == len(chart.parts)
    assert members["stitches"]["back_lines"] + members["stitches"]["straight_lines"] == len(chart.lines)
    assert members["stitches"]["knots"] + members["stitches"]["beads"] == len(chart.points)
    whole = crosses + len(chart.parts) + len(chart.lines) + len(chart.points)
    upper = int((chart.squares[: chart.rows // 2] > 0).sum())
    assert members["done"]["stitches"] == whole
    assert members["done"]["done"] == upper + len(chart.points)
    assert members["done"]["left"] == whole - members["done"]["done"]
    assert members["notices"] == ["a notice"]


def test_members_of_each_thread_add_up(chart: Chart, half_done: Tally) -> None:
    """Over all threads, stitches, done and left give the totals; crosses agree with numpy's count."""
    members = members_of(chart, half_done)
    totals = {name: sum(entry[name] for entry in members["key"]) for name in ("all", "done", "left")}
    assert totals == {
        "all": members["done"]["stitches"],
        "done": members["done"]["done"],
        "left": members["done"]["left"],
    }
    crosses = np.bincount(chart.squares.ravel(), minlength=len(chart.key) + 1)[1:].tolist()
    assert [entry["stitches"]["crosses"] for entry in members["key"]] == crosses
    assert [entry["name"] for entry in members["key"]] == [entry.name for entry in chart.key]


def test_lines_say_the_same_in_words(chart: Chart, half_done: Tally) -> None:
    """The first line is the title, and every thread has a line with what is left."""
    members, lines = members_of(chart, half_done), list(lines_of(chart, half_done))
    assert lines[0] == chart.title
    assert any(f"{members['done']['left']:,} left" in line for line in lines)
    for entry in members["key"]:
        line = next(line for line in lines if line.endswith(entry["name"]))
        assert line.split()[:3] == [f"{entry[name]:,}" for name in ("all", "done", "left")]


def test_every_state_is_counted_and_told(chart: Chart) -> None:
    """First legs, later and mistakes are told in all and of each thread, agreeing with numpy's counts."""
    squares, parts, lines, points = (states.copy() for states in open_states(chart))
    stitched = np.flatnonzero(chart.squares)
    for state, at in ((FIRST_LEG, 0), (LATER, 7), (MISTAKE, 12), (DONE, 15)):
        squares.reshape(-1)[stitched[at : at + 7]] = state
    points[:] = LATER
    tally = Tally(chart, (squares, parts, lines, points))
    members = members_of(chart, tally)
    told = members["done"]
    assert (told["first_legs"], told["later"], told["mistakes"]) == (7, 5 + len(points), 3)
    assert told["done"] + told["left"] == told["stitches"]
    assert told["to_go"] == told["left"] - 3.5
    for name, state in (("first_legs", FIRST_LEG), ("later", LATER), ("mistakes", MISTAKE)):
        keys = np.concatenate((chart.squares[squares == state], chart.points.keys[points == state]))
        counted = np.bincount(keys, minlength=len(chart.key) + 1)[1:].tolist()
        assert [entry[name] for entry in members["key"]] == counted
    assert any("of those left: 7 first legs" in line for line in lines_of(chart, tally))

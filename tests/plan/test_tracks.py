"""Every run comes from the nearest run worked before it: held against a plain loop over squares."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.follow.clothpitch import Pitch
from stitchview.plan.tracks import Grid, tracks_of

UNIT = Pitch(1.0, 1.0)

Drawn = list[list[int]]
Run = tuple[int, int, int, int]


def plain_runs(drawn: Drawn) -> list[Run]:
    """(row, first column, end, key) of each run."""
    runs: list[Run] = []
    for row, line in enumerate(drawn):
        column = 0
        for key, squares in itertools.groupby(line):
            end = column + len(list(squares))
            if key:
                runs.append((row, column, end, key))
            column = end
    return runs


def plain_way(run: Run, other: Run, pitch: Pitch, longest: float) -> tuple[int, float]:
    """Whether a run lies not right below another, and the least way from it; infinite if too far."""
    (row, first, end, _), (other_row, other_first, other_end, _) = run, other
    if row == other_row + 1 and other_first < end and first < other_end:
        return 0, 2 * pitch.down_mm
    ways = [math.inf]
    for mine, theirs in itertools.product(range(first, end), range(other_first, other_end)):
        beside = max(abs(mine - theirs) - 1, 0) * pitch.across_mm
        way = math.hypot(beside, (row - other_row + (mine == theirs)) * pitch.down_mm)
        if way <= longest or (row - other_row == 1 and abs(mine - theirs) == 1):
            ways.append(way)
    return 1, min(ways)


def plain_tracks(drawn: Drawn, pitch: Pitch, longest: float) -> list[tuple[int, int, float]]:
    """(key, length, way) of each run, by looking at every pair of squares; way -1 where it begins anew."""
    runs, told = plain_runs(drawn), []
    for number, run in enumerate(runs):
        before = [other for other in runs[:number] if other[3] == run[3]]
        way = min((plain_way(run, other, pitch, longest) for other in before), default=(1, math.inf))[1]
        told.append((run[3], run[2] - run[1], way if way < math.inf else -1.0))
    return told


@given(
    st.integers(1, 9).flatmap(
        lambda columns: st.lists(st.lists(st.integers(0, 2), min_size=columns, max_size=columns), min_size=1)
    ),
    st.sampled_from([UNIT, Pitch(1.0, 1.5)]),
    st.sampled_from([0.0, 1.0, 3.2, 24.0]),
)
def test_the_nearest_run_before(drawn: Drawn, pitch: Pitch, longest: float) -> None:
    """Where a run comes from and how long the way behind is, a loop over all pairs of squares finds too."""
    tracks = tracks_of(np.array(drawn, np.uint16), pitch, longest)
    begins = set(tracks.begins.tolist())
    found = [
        (int(key), int(length), -1.0 if number in begins else way)
        for number, (key, length, way) in enumerate(
            zip(tracks.keys, tracks.lengths, tracks.carry_mm, strict=True)
        )
    ]
    told = plain_tracks(drawn, pitch, longest)
    assert [each[:2] for each in found] == [each[:2] for each in told]
    assert [each[2] for each in found] == pytest.approx([each[2] for each in told])
    assert (tracks.parents <= np.arange(len(tracks))).all()
    assert (tracks.keys[tracks.parents] == tracks.keys).all()


def patches_of(grid: Grid, longest: float) -> int:
    return len(set(tracks_of(grid, UNIT, longest).patches().tolist()))


def test_islands_are_joined_by_carries_that_are_allowed() -> None:
    """Two blocks three bare squares apart are one patch where 3 squares may be carried, else two."""
    grid = np.zeros((6, 20), np.uint16)
    grid[1:5, 2:6] = grid[1:5, 9:14] = 1
    assert patches_of(grid, 2.9) == 2
    assert patches_of(grid, 3.0) == 1


def test_fine_cloth_is_looked_over_as_far_as_the_thread_may_be_carried() -> None:
    """At 40 threads to the inch over one, a carry of 10 mm spans 15 bare squares, and no more."""
    fine = Pitch(25.4 / 40, 25.4 / 40)
    for bare, patches in ((15, 1), (16, 2)):
        grid = np.zeros((1, 40), np.uint16)
        grid[0, 3] = grid[0, 4 + bare] = 1
        assert len(set(tracks_of(grid, fine, 10.0).patches().tolist())) == patches


def test_no_way_leads_round_the_edge() -> None:
    """The last square of a row and the first of the next are far apart, however narrow the chart."""
    for columns in (3, 4, 12, 40):
        grid = np.zeros((2, columns), np.uint16)
        grid[0, -1] = grid[1, 0] = 1
        assert patches_of(grid, min(columns - 2.5, 9.0)) == 2


def test_a_chart_without_stitches() -> None:
    """Where nothing is to be stitched nothing is worked."""
    assert len(tracks_of(np.zeros((3, 4), np.uint16), UNIT, 5.0)) == 0
    assert len(tracks_of(np.zeros((0, 0), np.uint16), UNIT, 5.0)) == 0

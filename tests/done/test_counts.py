"""Counts move along with the marks and always agree with counting all over again."""

import math
from collections import Counter
from collections.abc import Callable
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, STATES
from stitchview.done.counts import Progress, in_halves, percent, share_words
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle


@pytest.mark.parametrize(
    ("done", "stitches", "said"),
    [(0, 7, 0), (1, 3, 33), (2, 3, 66), (9_999, 10_000, 99), (10_000, 10_000, 100), (0, 0, 100)],
)
def test_a_hundred_percent_is_said_only_when_nothing_is_left(done: int, stitches: int, said: int) -> None:
    """With one stitch of ten thousand left she is not told that she has finished."""
    assert Progress(stitches, done).percent == said


@pytest.mark.parametrize(
    ("done", "stitches", "said"),
    [
        (0, 7, "0 %"),
        (1, 3, "33.3 %"),
        (13, 10_000, "0.1 %"),
        (1, 5_000, "under 0.1 %"),
        (9_999, 10_000, "99.9 %"),
        (7, 7, "100 %"),
        (1, 2, "50 %"),
    ],
)
def test_a_share_is_told_alike_everywhere(done: int, stitches: int, said: str) -> None:
    """A piece begun is never told to be at nothing, nor one unfinished to be whole."""
    assert share_words(done, stitches) == Progress(stitches, done).share == said


@given(st.integers(1, 2**40), st.data(), st.integers(0, 4))
def test_percent_never_says_more_than_is_done(stitches: int, data: st.DataObject, decimals: int) -> None:
    """Whatever the decimals, the figure is rounded down."""
    done = data.draw(st.integers(0, stitches))
    figure = percent(done, stitches, decimals)
    assert (figure == 100) == (done == stitches)
    assert figure <= 100 * done / stitches + 1e-9
    assert figure > 100 * done / stitches - 10**-decimals - 1e-9


@given(st.integers(1, 2**40), st.data())
def test_a_first_leg_is_half_a_stitch(stitches: int, data: st.DataObject) -> None:
    """Against fractions: the share is that of done stitches and half the first legs, rounded down."""
    done = data.draw(st.integers(0, stitches))
    legs = data.draw(st.integers(0, stitches - done))
    progress = Progress(stitches, done, legs)
    share = (Fraction(done) + Fraction(legs, 2)) / stitches * 100
    assert progress.percent == math.floor(share)
    assert progress.worked + progress.to_go == stitches
    assert (progress.percent == 100) == (progress.left == 0)


@pytest.mark.parametrize(
    ("count", "words"), [(0, "0"), (0.5, "½"), (1, "1"), (-0.5, "-½"), (1234.5, "1,234½"), (-2.0, "-2")]
)
def test_half_stitches_are_told_as_such(count: float, words: str) -> None:
    """Half a stitch is written as she would write it."""
    assert in_halves(count) == words


@given(st.integers(0, 2**32 - 1))
def test_counts_agree_with_counting_by_hand(random_chart: Callable[..., Chart], seed: int) -> None:
    """After any marking and unpicking, every thread's counts are those a plain loop finds."""
    random = np.random.default_rng(seed)
    chart = random_chart(17, 11, 4, seed % 7)
    marks = Marks(chart)
    for _ in range(6):
        column, row, columns, rows = (int(n) for n in random.integers(0, 12, 4))
        selection = rectangle(chart, Area(column, row, columns, rows), Takes())
        change = change_to(marks, selection, int(random.integers(STATES)))
        if change is not None:
            marks.apply(change)
    pairs = Counter(zip(chart.squares.ravel().tolist(), marks.squares.ravel().tolist(), strict=True))
    for key in range(1, 5):
        done = pairs[key, DONE]
        others = (pairs[key, state] for state in (FIRST_LEG, LATER, MISTAKE))
        stitches = sum(pairs[key, state] for state in range(STATES))
        assert marks.tally.of_key(key) == Progress(stitches, done, *others)
    assert marks.tally.done().tolist() == [0, *(pairs[key, DONE] for key in range(1, 5))]
    assert marks.tally.stitches()[0] == 0


def test_all_kinds_of_stitches_count(small_chart: Callable[[], Chart]) -> None:
    """Part stitches, lines, knots and beads of a thread count beside its squares."""
    chart = small_chart()
    marks = Marks(chart)
    change = change_to(marks, rectangle(chart, chart.area, Takes(only=3)), DONE)
    assert change is not None
    marks.apply(change)
    # By the drawing in conftest: part stitches 3, 6, 9, 12; line 2; point 1 are of thread 3.
    squares = int((chart.squares == 3).sum())
    assert marks.tally.of_key(3) == Progress(squares + 4 + 1 + 1, squares + 4 + 1 + 1)
    assert marks.tally.of_family("lines") == Progress(4, 1)
    assert marks.tally.of_family("points") == Progress(3, 1)
    assert marks.tally.of_key(4) == Progress(4, 0)


def test_a_big_chart_is_counted_in_pieces() -> None:
    """Counting in pieces gives what numpy counts at once, also where a piece has no mark yet."""
    squares = np.random.default_rng(5).integers(0, 4, (1030, 1040), np.uint16)
    chart = Chart(squares, tuple(KeyEntry(code, Symbol(code), code) for code in "abc"))
    states = np.zeros(squares.shape, np.uint8)
    states[1020:, 3:] = squares[1020:, 3:] != 0
    none = np.zeros(0, np.uint8)
    tally = Marks(chart, (states, none, none, none)).tally
    assert tally.done().tolist() == np.bincount(squares[states == DONE], minlength=4).tolist()
    assert tally.stitches()[1:].tolist() == np.bincount(squares.ravel())[1:].tolist()

"""The thread card: which hole holds which thread, and that threads alike do not lie side by side."""

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.model import UNTOLD, Chart, KeyEntry, Squares, Symbol, Thread
from stitchview.done.change import DONE
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.follow.blocks import Blocks
from stitchview.follow.numbering import Numbering
from stitchview.follow.threadwork import ThreadWork
from stitchview.plan.card import (
    Use,
    blend_words,
    blocks_ahead,
    by_colour,
    by_next_blocks,
    completed,
    details_words,
    put_apart,
    strands_words,
    thread_card,
    uses,
)
from stitchview.plan.likenesspairs import look_alikes

SmallChart = Callable[[], Chart]
RandomChart = Callable[[int, int, int, int], Chart]


def coloured(*codes: str) -> tuple[KeyEntry, ...]:
    return tuple(
        KeyEntry(chr(97 + n), Symbol(chr(97 + n)), f"Sample cotton {n}", str(n), colour=Colour.from_hex(code))
        for n, code in enumerate(codes)
    )


def test_the_card_goes_by_the_key_unless_told_otherwise(small_chart: SmallChart) -> None:
    """Hole 1 holds the first thread of the key, and the card bears the chart's title."""
    chart = small_chart()
    card = thread_card(chart)
    assert [(hole.place, hole.number) for hole in card.holes] == [(1, 1), (2, 2), (3, 3), (4, 4)]
    assert card.title == chart.title
    assert [hole.number for hole in thread_card(chart, (3, 1)).holes] == [3, 1, 2, 4]


@pytest.mark.parametrize("order", [(1, 1), (0,), (5,)])
def test_an_order_that_cannot_be_is_refused(small_chart: SmallChart, order: tuple[int, ...]) -> None:
    """No thread has two holes, and none is there that the key does not name."""
    with pytest.raises(ValueError, match="once"):
        thread_card(small_chart(), order)


def test_by_colour_greys_come_first_then_hues_from_light_to_dark() -> None:
    """White, grey and black stand first, then reds, greens and blues; an unknown colour is last."""
    key = coloured("#1E3A8A", "#808081", "#FFFFFF", "#7FB07F", "#C0303A", "#101010", "#F0A0A4", "#2E7D32")
    key = (replace(key[0], colour=UNTOLD), *key)
    assert by_colour(key) == (4, 3, 7, 8, 6, 5, 9, 2, 1)


def test_by_next_blocks_the_threads_of_the_next_evening_come_first(random_chart: RandomChart) -> None:
    """What the block at hand needs most stands first, then what the next block needs besides."""
    chart = random_chart(40, 30, 60, 7)
    marks = Marks(chart)
    blocks = Blocks(ThreadWork(marks), Numbering.TOP_LEFT)
    ahead = blocks_ahead(blocks, (25, 15), 3)
    assert ahead[0] == blocks.grid.block_at(25, 15)
    order = by_next_blocks(blocks, ahead)
    area = blocks.grid.area(ahead[0])
    squares = chart.squares[area.slices()]
    counts = {number: int((squares == number).sum()) for number in range(1, 61)}
    needed = sorted((-count, number) for number, count in counts.items() if count)
    assert list(order[: len(needed)]) == [number for _, number in needed]
    everything = set().union(
        *(set(chart.squares[blocks.grid.area(block).slices()].ravel()) for block in ahead)
    )
    assert set(order) == everything - {0}
    assert len(thread_card(chart, order).holes) == 60


def test_finished_blocks_are_not_ahead(random_chart: RandomChart) -> None:
    """A block with nothing left is none of the next; of the others the nearest come first."""
    chart = random_chart(40, 30, 20, 3)
    marks = Marks(chart)
    change = change_to(marks, rectangle(chart, Area(10, 10, 20, 10), Takes()), DONE)
    assert change
    marks.apply(change)
    blocks = Blocks(ThreadWork(marks), Numbering.TOP_LEFT)
    # From (15, 15) it is five squares down, six up and six to the left; upper blocks go first.
    assert set(blocks_ahead(blocks, (15, 15), 2)) == {(1, 0), (1, 2)}
    ahead = blocks_ahead(blocks, (15, 15), 99)
    assert len(ahead) == 10
    assert not {(1, 1), (2, 1)} & set(ahead)
    assert blocks_ahead(blocks, (0, 0), 0) == ()


def test_threads_alike_lie_apart_and_warn_of_each_other() -> None:
    """Two slate blues that follow each other in the key get another thread between them."""
    key = coloured("#4A5B6C", "#4C5C6E", "#7B1E34", "#E0C050")
    chart = Chart(thread_chart_squares(), key)
    card = thread_card(chart, alike=look_alikes(key), apart=2)
    assert [hole.number for hole in card.holes] == [1, 3, 2, 4]
    assert [hole.beware for hole in card.holes] == [(3,), (), (1,), ()]
    assert card.beside == ()


def test_what_cannot_be_put_apart_is_told() -> None:
    """A key of two threads alike has no third to lie between, and the card says which holes."""
    key = coloured("#4A5B6C", "#4C5C6E")
    card = thread_card(Chart(thread_chart_squares(), key), alike=look_alikes(key), apart=2)
    assert card.beside == ((1, 2),)


def thread_chart_squares() -> Squares:
    return np.zeros((2, 2), np.uint16)


pair_lists = st.lists(
    st.tuples(st.integers(1, 12), st.integers(1, 12)).filter(lambda pair: pair[0] < pair[1]), max_size=14
)


@given(pair_lists, st.integers(1, 4))
def test_putting_apart_loses_nothing_and_keeps_what_is_apart(
    pairs: list[tuple[int, int]], apart: int
) -> None:
    """Every thread keeps exactly one hole; an order without trouble stays as it is."""
    numbers = range(1, 13)
    order = put_apart(numbers, pairs, apart)
    assert sorted(order) == list(numbers)
    if all(second - first >= apart for first, second in pairs):
        assert order == tuple(numbers)


@given(st.sets(st.tuples(st.integers(1, 5), st.integers(6, 30)), max_size=12))
def test_few_pairs_are_always_put_apart(pairs: set[tuple[int, int]]) -> None:
    """Where many threads are unlike, none of a pair lies beside the other."""
    shuffled = [number for first in range(1, 6) for number in (first, *range(first + 5, 31, 5))]
    order = put_apart(shuffled, pairs, 2)
    beside = {frozenset(each) for each in pairwise(order)}
    assert not beside & {frozenset(pair) for pair in pairs}


def test_strands_are_told_as_the_thread_is_used(small_chart: SmallChart) -> None:
    """A thread used for crosses, for back stitch or for both is labelled so; beads have no strands."""
    entry = KeyEntry("a", Symbol("a"), "Sample cotton 1", "1", cross_strands=2, back_strands=1)
    assert strands_words(entry, Use(True, False, False)) == "2 strands"
    assert strands_words(entry, Use(False, True, False)) == "back stitch 1 strand"
    assert strands_words(entry, Use(True, True, False)) == "2 strands, back stitch 1"
    assert strands_words(replace(entry, cross_strands=1), Use(False, False, True)) == "1 strand"
    assert strands_words(replace(entry, kind="bead"), Use(False, False, True)) == "beads"
    assert details_words(entry, Use(True, False, False)) == "No. 1 · 2 strands"
    assert uses(small_chart()) == (
        Use(fills=True, lines=False, points=True),
        Use(fills=True, lines=False, points=False),
        Use(fills=True, lines=True, points=True),
        Use(fills=False, lines=True, points=True),
    )


def test_a_blend_is_labelled_by_its_threads() -> None:
    """Both threads of a blend stand on the label with their strands, in short."""
    threads = Thread("Sample cotton 9, moss", "9"), Thread("Sample silk, rose", "4", strands=2)
    blend = KeyEntry("a", Symbol("a"), "Sample blend", "", blend=threads)
    assert blend_words(blend) == "Sample: 1 × cotton 9 + 2 × silk, rose 4"
    same = replace(blend, blend=(threads[0], Thread("Sample cotton 12, fern", "12")))
    assert blend_words(same) == "Sample cotton: 1 × 9 + 1 × 12"
    unlike = replace(blend, blend=(threads[0], Thread("Sample", "")))
    assert blend_words(unlike) == "1 × Sample cotton 9 + 1 × Sample"
    assert details_words(blend, Use(True, True, False)).endswith("rose 4, back stitch 1")
    assert blend_words(replace(blend, blend=())) == ""


def test_the_rest_of_the_key_follows_the_order() -> None:
    """Threads that nobody put in order come after, as the key has them."""
    assert completed((4, 2), 5) == (4, 2, 1, 3, 5)
    assert completed((), 0) == ()

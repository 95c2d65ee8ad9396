"""In which order threads go onto the card: as the key, by colour, or as the next blocks need them."""

from dataclasses import replace
from enum import StrEnum

from stitchview.done.marks import Marks
from stitchview.follow.blocks import Blocks
from stitchview.follow.numbering import Numbering
from stitchview.follow.threadwork import ThreadWork
from stitchview.plan.card import ThreadCard, blocks_ahead, by_colour, by_next_blocks, thread_card
from stitchview.plan.likenesspairs import LookAlikes, look_alikes
from stitchview.plan.threadtests import told_test, wash_test


class HoleOrder(StrEnum):
    """The orders; the values are what commands take and what is kept."""

    KEY = "key"
    COLOUR = "colour"
    BLOCKS = "blocks"


def ordered(marks: Marks, order: HoleOrder, place: tuple[int, int] = (0, 0)) -> tuple[int, ...]:
    """Key numbers in an order; for `BLOCKS` the blocks nearest to the square `place` come first."""
    if order is HoleOrder.COLOUR:
        return by_colour(marks.chart.key)
    if order is HoleOrder.BLOCKS and marks.chart.key:
        blocks = Blocks(ThreadWork(marks), Numbering.TOP_LEFT)
        column, row = place
        area = marks.chart.area
        square = min(max(column, 0), area.columns - 1), min(max(row, 0), area.rows - 1)
        return by_next_blocks(blocks, blocks_ahead(blocks, square))
    return tuple(range(1, len(marks.chart.key) + 1))


def card_of(
    marks: Marks, order: HoleOrder, place: tuple[int, int] = (0, 0), alike: LookAlikes | None = None
) -> ThreadCard:
    """The card with its threads in an order, and those that look alike put apart."""
    found = look_alikes(marks.chart.key) if alike is None else alike
    card = thread_card(marks.chart, ordered(marks, order, place), found)
    tests = {number: wash_test(marks.notes.tests, entry) for number, entry in enumerate(marks.chart.key, 1)}
    holes = (
        each if (test := tests[each.number]) is None else replace(each, tested=told_test(test))
        for each in card.holes
    )
    return replace(card, holes=tuple(holes))

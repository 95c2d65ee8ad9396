"""Card sheets: the paper's sizes, what may be printed on, and every hole once, on as few sheets as do."""

from itertools import pairwise

import pytest

from stitchview.errors import CommandError
from stitchview.plan.card import Hole, ThreadCard
from stitchview.plan.cardpages import A4, LETTER, PAPERS, CardShape, Paper, card_pages


def card_of(holes: int) -> ThreadCard:
    return ThreadCard("A small harbour", tuple(Hole(place, place) for place in range(1, holes + 1)))


def test_a4_is_the_fourth_halving_of_a_square_metre() -> None:
    """ISO 216: A0 has one square metre and sides as 1 to the root of 2; each next halves the longer side."""
    width, height = 1000 * 2**-0.25, 1000 * 2**0.25
    for _ in range(4):
        width, height = height / 2, width
    assert (A4.width, A4.height) == (round(width), round(height)) == (210, 297)


def test_letter_is_eight_and_a_half_by_eleven_inches() -> None:
    """ANSI/ASME Y14.1, size A, with the inch of exactly 25.4 mm."""
    assert (LETTER.width, LETTER.height) == pytest.approx((8.5 * 25.4, 11 * 25.4), abs=1e-9)
    assert PAPERS == {"a4": A4, "letter": LETTER}


@pytest.mark.parametrize("paper", PAPERS.values())
@pytest.mark.parametrize("holes", [1, 2, 20, 21, 40, 41, 200])
def test_every_hole_has_one_label_inside_what_can_be_printed(paper: Paper, holes: int) -> None:
    """Labels, heads and feet lie within the margins, follow each other, and none lies over another."""
    pages = card_pages(card_of(holes), paper)
    cards = [card for page in pages for card in page.cards]
    assert [label.hole.place for card in cards for label in card.labels] == list(range(1, holes + 1))
    assert [page.number for page in pages] == list(range(1, len(pages) + 1))
    assert {page.of for page in pages} == {len(pages)}
    assert [card.number for card in cards] == list(range(1, len(cards) + 1))
    assert {card.of for card in cards} == {len(cards)}
    for page in pages:
        assert page.printable.left == 10
        assert page.printable.right == pytest.approx(paper.width - 10)
        for card in page.cards:
            assert page.printable.holds(card.edge)
            for box in (card.head, card.foot, *(label.row for label in card.labels)):
                assert card.edge.holds(box)
            stacked = [card.head, *(label.row for label in card.labels), card.foot]
            assert all(upper.bottom == pytest.approx(lower.top) for upper, lower in pairwise(stacked))
        for left, right in pairwise(page.cards):
            assert right.edge.left - left.edge.right == pytest.approx(6)


@pytest.mark.parametrize(
    ("holes", "shared"), [(20, [20]), (21, [11, 10]), (24, [12, 12]), (41, [14, 14, 13]), (200, [20] * 10)]
)
def test_threads_are_shared_evenly_over_the_fewest_cards(holes: int, shared: list[int]) -> None:
    """Twenty-four threads make two cards of twelve, not one of twenty and one of four."""
    cards = [card for page in card_pages(card_of(holes)) for card in page.cards]
    assert [len(card.labels) for card in cards] == shared


def test_holes_lie_within_their_labels_at_even_steps() -> None:
    """The holes to punch lie on one line, eleven millimetres apart, whole within their labels."""
    labels = card_pages(card_of(20))[0].cards[0].labels
    steps = {round(below.middle[1] - above.middle[1], 6) for above, below in pairwise(labels)}
    assert steps == {11.0}
    assert {label.middle[0] for label in labels} == {16.0}
    for label in labels:
        assert label.row.top + label.width / 2 <= label.middle[1] <= label.row.bottom - label.width / 2


@pytest.mark.parametrize(
    "shape",
    [
        CardShape(row=0),
        CardShape(row=-3),
        CardShape(row=float("nan")),
        CardShape(across=0),
        CardShape(across=9),
        CardShape(margin=-1),
        CardShape(margin=150),
        CardShape(most_holes=0),
        CardShape(head=400),
    ],
)
def test_a_shape_that_fits_nowhere_is_refused(shape: CardShape) -> None:
    """A card that cannot be cut from the sheet is refused in a sentence."""
    with pytest.raises(CommandError, match="No thread card of that shape fits on A4"):
        card_pages(card_of(5), A4, shape)


def test_a_key_without_threads_has_no_card() -> None:
    """A chart without a key gets no empty sheet, but a sentence."""
    with pytest.raises(CommandError, match="no threads"):
        card_pages(card_of(0))

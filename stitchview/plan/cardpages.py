"""Where everything of a thread card stands on sheets of paper, in millimetres."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from stitchview.errors import CommandError
from stitchview.plan.card import Hole, ThreadCard

LEAST_ROW = 7.0
LEAST_WIDTH = 60.0


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper, upright, in millimetres."""

    name: str
    width: float
    height: float


A4 = Paper("A4", 210.0, 297.0)
"""ISO 216."""
LETTER = Paper("Letter", 215.9, 279.4)
"""ANSI/ASME Y14.1, 8 1/2 by 11 inches of 25.4 mm."""
PAPERS = {paper.name.lower(): paper for paper in (A4, LETTER)}


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in millimetres from the top left corner of its sheet."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Its lower edge."""
        return self.top + self.height

    def moved(self, across: float, down: float) -> "Box":
        """The same size elsewhere."""
        return Box(self.left + across, self.top + down, self.width, self.height)

    def holds(self, other: "Box") -> bool:
        """Whether another lies in it, to a thousandth of a millimetre."""
        return (
            other.left >= self.left - 1e-3
            and other.top >= self.top - 1e-3
            and other.right <= self.right + 1e-3
            and other.bottom <= self.bottom + 1e-3
        )


@dataclass(frozen=True, slots=True)
class CardShape:
    """How a card is cut, in millimetres: common practice, and to be changed for the cards she has.

    `margin` is what printers leave white, `gap` lies between cards for the scissors; a card has
    at most `most_holes`, `row` apart, punched `hole_in` from its left edge and `hole` wide.
    """

    margin: float = 10.0
    gap: float = 6.0
    across: int = 2
    head: float = 17.0
    foot: float = 7.0
    row: float = 11.0
    hole: float = 5.0
    hole_in: float = 6.0
    most_holes: int = 20


USUAL_SHAPE = CardShape()


@dataclass(frozen=True, slots=True)
class LabelPlace:
    """One label: the hole it names, its whole row, and the middle and width of the hole to punch."""

    hole: Hole
    row: Box
    middle: tuple[float, float]
    width: float


@dataclass(frozen=True, slots=True)
class CardPlace:
    """One card to cut out: its number of how many, its edge, its head and foot, and its labels."""

    number: int
    of: int
    edge: Box
    head: Box
    foot: Box
    labels: tuple[LabelPlace, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One sheet: the paper, what of it may be printed on, and its cards."""

    number: int
    of: int
    paper: Paper
    printable: Box
    cards: tuple[CardPlace, ...]


def card_pages(card: ThreadCard, paper: Paper = A4, shape: CardShape = USUAL_SHAPE) -> tuple[Page, ...]:
    """The sheets a card is printed on; threads are shared out evenly over as few cards as hold them.

    Raises `CommandError` where the shape fits no label on the paper, or the chart has no threads.
    """
    if not card.holes:
        raise CommandError("The chart's key has no threads.", "A thread card needs at least one.")
    printable = Box(
        shape.margin, shape.margin, paper.width - 2 * shape.margin, paper.height - 2 * shape.margin
    )
    most, width = _room(printable, paper, shape)
    cards = math.ceil(len(card.holes) / most)
    shared = _shared(card.holes, cards)
    pages = math.ceil(cards / shape.across)
    return tuple(
        Page(
            page + 1,
            pages,
            paper,
            printable,
            tuple(
                _card(shared[number], (number + 1, cards), _corner(printable, width, place, shape), shape)
                for place, number in enumerate(
                    range(page * shape.across, min(cards, (page + 1) * shape.across))
                )
            ),
        )
        for page in range(pages)
    )


def _room(printable: Box, paper: Paper, shape: CardShape) -> tuple[int, float]:
    """How many holes one card can have, and how wide it is."""
    lengths = (shape.margin, shape.gap, shape.head, shape.foot, shape.hole, shape.hole_in)
    if shape.across >= 1 and shape.row >= LEAST_ROW and min(lengths) >= 0:
        width = (printable.width - (shape.across - 1) * shape.gap) / shape.across
        fitting = int((printable.height - shape.head - shape.foot + 1e-6) // shape.row)
        most = min(fitting, shape.most_holes)
        if most >= 1 and width >= LEAST_WIDTH:
            return most, width
    raise CommandError(
        f"No thread card of that shape fits on {paper.name}.",
        f"A card needs {LEAST_WIDTH:g} mm across, and {LEAST_ROW:g} mm or more for each hole.",
    )


def _corner(printable: Box, width: float, place: int, shape: CardShape) -> Box:
    """The corner and the width of the card at `place` from the left; its height is not known yet."""
    return Box(printable.left + place * (width + shape.gap), printable.top, width, 0.0)


def _card(holes: Sequence[Hole], number: tuple[int, int], corner: Box, shape: CardShape) -> CardPlace:
    left, top, width = corner.left, corner.top, corner.width
    rows = top + shape.head
    bottom = rows + len(holes) * shape.row
    labels = tuple(
        LabelPlace(
            hole,
            Box(left, rows + place * shape.row, width, shape.row),
            (left + shape.hole_in, rows + (place + 0.5) * shape.row),
            shape.hole,
        )
        for place, hole in enumerate(holes)
    )
    return CardPlace(
        number=number[0],
        of=number[1],
        edge=Box(left, top, width, bottom + shape.foot - top),
        head=Box(left, top, width, shape.head),
        foot=Box(left, bottom, width, shape.foot),
        labels=labels,
    )


def _shared(holes: Sequence[Hole], cards: int) -> list[Sequence[Hole]]:
    """The holes in `cards` runs whose lengths differ by one at most, longer ones first."""
    each, more = divmod(len(holes), cards)
    ends = [0]
    for card in range(cards):
        ends.append(ends[-1] + each + (card < more))
    return [holes[start:end] for start, end in pairwise(ends)]

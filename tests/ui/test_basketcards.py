"""What a card of the workbasket tells of a piece that the basket hardly knows."""

from pathlib import Path

from stitchview.done.basket import Piece
from stitchview.ui.basketmodel import Face


def test_a_piece_that_was_never_opened_is_not_shown_as_done() -> None:
    """Of a chart not opened yet no stitch is known; its bar is empty, not full."""
    face = Face(Piece("", Path("harbour.svchart"), ""), there=False, picture=Path("none.png"))
    assert face.far == "Not opened yet"
    assert face.filled == 0


def test_the_bar_is_filled_as_far_as_the_piece_is() -> None:
    """Of a piece half done half of the bar is filled."""
    face = Face(
        Piece("a", Path("harbour.svchart"), "Harbour", stitches=200, done=100),
        there=True,
        picture=Path("none.png"),
    )
    assert face.filled == 50

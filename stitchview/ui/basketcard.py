"""What the workbasket is told of a piece when its chart is closed: how far it is, and how it looks."""

from stitchview.canvas.basketpicture import card_picture, save_card_picture
from stitchview.done.basket import Basket, Piece, Waiting
from stitchview.errors import StitchviewError
from stitchview.ui.sitting import Sitting


def lay_in_basket(basket: Basket, sitting: Sitting) -> None:
    """Renew the card of a sitting's piece; without room for it only the card stays as it was."""
    desk, chart = sitting.desk, sitting.desk.chart
    total = desk.tally.total()
    piece = Piece(
        identity=chart.identity,
        path=sitting.path,
        title=sitting.title,
        columns=chart.columns,
        rows=chart.rows,
        stitches=total.stitches,
        done=total.done,
        first_legs=total.first_legs,
        last_ms=desk.last_ms,
        waiting=Waiting(parked=len(desk.notes.parked), doubts=len(chart.doubts)),
    )
    try:
        basket.put(piece)
        save_card_picture(card_picture(chart, desk.marks.families), basket.picture_of(piece.name))
    except (StitchviewError, OSError):
        # The marks are kept beside the chart; a card that is a day old is no reason to stop her.
        return

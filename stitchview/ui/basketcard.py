"""What the workbasket is told of a piece when its chart is closed: how far it is, and how it looks."""

from stitchview.canvas.basketpicture import card_picture, save_card_picture
from stitchview.done.basket import Basket, Piece, Waiting
from stitchview.errors import StitchviewError
from stitchview.ui.settings import open_settings
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
        waiting=Waiting(parked=len(desk.notes.parked), to_buy=_to_buy(sitting), doubts=len(chart.doubts)),
    )
    try:
        basket.put(piece)
        save_card_picture(card_picture(chart, desk.marks.families), basket.picture_of(piece.name))
    except (StitchviewError, OSError):
        # The marks are kept beside the chart; a card that is a day old is no reason to stop her.
        return


def _to_buy(sitting: Sitting) -> int:
    """How many threads of the piece wait to be bought; 0 where nothing is known of what she has."""
    # Loaded only at closing: nobody who opens a chart to stitch waits for what reckons thread.
    from stitchview.plan.piece import manner_of
    from stitchview.plan.stashreading import read_stash
    from stitchview.plan.tobuy import threads_to_buy
    from stitchview.ui.planning.stashkeeping import read_place

    desk, book = sitting.desk, sitting.works.cloth.plan.bench.piece
    try:
        place = read_place(open_settings())
        stash = None if place is None else read_stash(place.path, place.columns).stash
        return threads_to_buy(desk.chart, desk.marks, book.pitch, manner_of(book.habits), stash)
    except StitchviewError:
        # A list that cannot be read is said where it is opened; the card tells of thread what it can.
        return 0

"""What the workbasket is told of a piece when its chart is closed: how far it is, and how it looks."""

from typing import TYPE_CHECKING

from stitchview.canvas.basketpicture import card_picture, save_card_picture
from stitchview.done.basket import Basket, Piece, Waiting
from stitchview.done.takenthread import taken_threads
from stitchview.errors import StitchviewError
from stitchview.ui.settings import open_settings
from stitchview.ui.sitting import Sitting

if TYPE_CHECKING:
    from stitchview.plan.stash import Stash


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
        taken=taken_threads(chart, desk.notes),
    )
    try:
        basket.put(piece)
        save_card_picture(card_picture(chart, desk.marks.families), basket.picture_of(piece.name))
    except (StitchviewError, OSError):
        # The marks are kept beside the chart; a card that is a day old is no reason to stop her.
        return


def taken_since(basket: Basket, sitting: Sitting) -> list[str]:
    """What other pieces have taken, since she was here last, of threads that this one still waits for."""
    desk = sitting.desk
    if not any(each.time > desk.last_ms for piece in basket.pieces() for each in piece.taken):
        return []
    # Loaded only where another piece has taken something, which is seldom.
    from stitchview.plan.stashtakings import notices, takings_elsewhere
    from stitchview.plan.threads import bought_threads

    takings = takings_elsewhere(basket.pieces(), desk.chart, desk.last_ms)
    waited_for = [
        each
        for each in bought_threads(desk.chart)
        if any(desk.tally.of_key(number).left for number in each.numbers)
    ]
    return notices(waited_for, takings, _stash())


def _stash() -> "Stash | None":
    """Her list, if one is known and can be read."""
    from stitchview.plan.stashreading import read_stash
    from stitchview.ui.planning.stashkeeping import read_place

    try:
        place = read_place(open_settings())
        return None if place is None else read_stash(place.path, place.columns).stash
    except StitchviewError:
        # A list that cannot be read is said where it is opened.
        return None


def _to_buy(sitting: Sitting) -> int:
    """How many threads of the piece wait to be bought; 0 where nothing is known of what she has."""
    # Loaded only at closing: nobody who opens a chart to stitch waits for what reckons thread.
    from stitchview.plan.piece import manner_of
    from stitchview.plan.tobuy import threads_to_buy

    desk, book = sitting.desk, sitting.works.cloth.plan.bench.piece
    try:
        return threads_to_buy(desk.chart, desk.marks, book.pitch, manner_of(book.habits), _stash())
    except StitchviewError:
        # On cloth on which nobody can stitch the card tells of thread what it can.
        return 0

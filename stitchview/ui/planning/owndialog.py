"""Asks for a thread of her own that the key does not print, to be used in an area."""

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QWidget

from stitchview.done.usedinstead import OwnThread, UsedInstead
from stitchview.errors import StitchviewError
from stitchview.plan.insteadoffers import InsteadOffer, instead_offers
from stitchview.plan.stashreading import read_stash
from stitchview.ui.planning.insteaddialog import InsteadDialog, Printed
from stitchview.ui.planning.stashkeeping import read_place
from stitchview.ui.settings import open_settings

Taken = Callable[[UsedInstead], str]
"""Takes the thread that was told; gives a sentence if it cannot be used."""


class OwnThreadDialog(InsteadDialog):
    """The form of the whole piece without its printed threads; offers of her list are `near` in colour."""

    def __init__(self, near: Printed, own: OwnThread | None, taken: Taken, parent: QWidget) -> None:
        if own is not None:
            label = own.used_name, own.used_number, own.kind, own.colour
            told = UsedInstead("", "", *label, own.lot, own.range, own.skeins, own.time)
            near = Printed(near.name, near.number, near.kind, near.colour, told)
        super().__init__([near], _Taker(taken), parent)
        self.setWindowTitle("A thread that is not in the key")
        self.form.setRowVisible(self.printed, False)
        self.back.hide()


class _Taker:
    """The `InsteadTeller` of a thread that is used in an area."""

    def __init__(self, taken: Taken) -> None:
        self._taken = taken

    def offers(self, printed: Printed) -> Sequence[InsteadOffer]:
        """What of her list could be used."""
        return stash_offers(printed)

    def skeins_wanted(self, _: Printed) -> float:
        """Not known: an area is not reckoned before it is recorded."""
        return 0.0

    def use(self, _: Printed, used: UsedInstead | None) -> str:
        """Hand the thread on; a sentence if it cannot be used."""
        return "" if used is None else self._taken(used)


def stash_offers(printed: Printed) -> Sequence[InsteadOffer]:
    """What of her list could be used, the nearest in colour first; nothing without a list."""
    place = read_place(open_settings())
    if place is None:
        return ()
    try:
        stash = read_stash(place.path, place.columns).stash
    except StitchviewError:
        # The stash page says what is wrong with the list; here she can still type.
        return ()
    return instead_offers(printed.colour, stash)

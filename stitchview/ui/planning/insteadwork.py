"""Threads used instead of printed ones on the open chart: asked for, noted, and taken back."""

import time
from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtWidgets import QWidget

from stitchview.chart.model import KeyEntry, OwnEntry, Thread, printed_entry
from stitchview.chart.threadname import identity_of
from stitchview.done.usedinstead import OwnThread, UsedInstead
from stitchview.errors import CommandError
from stitchview.plan.insteadoffers import InsteadOffer
from stitchview.ui.planning.insteaddialog import InsteadDialog, Printed
from stitchview.ui.planning.needbook import NeedBook
from stitchview.ui.planning.owndialog import OwnThreadDialog, stash_offers

NOT_KEPT = "Marks of this chart are kept in memory only. Make room beside the chart first."
THE_SAME = "That is the very thread that the key prints."


class InsteadWork:
    """Notes through the desk, so that all of it can be undone; `book` knows what is needed."""

    def __init__(self, book: NeedBook) -> None:
        self._book, self._table = book, book.table
        self.dialog: InsteadDialog | None = None

    def ask(self, number: int, parent: QWidget) -> None:
        """Ask what is used instead of the threads of a key entry, by its number from 1."""
        entry = self._table.chart.key[number - 1]
        if isinstance(entry, OwnEntry):
            own = [each for each in self._table.bench.desk.notes.own_threads if each.id == entry.code]
            if not own:
                # Just taken back, and the chart is about to be laid out anew.
                return
            self.dialog = self._own_dialog(entry, own[0], parent)
        else:
            self.dialog = InsteadDialog(self._printed(entry), self, parent)
        self.dialog.open()

    def offers(self, printed: Printed) -> Sequence[InsteadOffer]:
        """What of her list could be used, the nearest in colour first; nothing without a list."""
        return stash_offers(printed)

    def skeins_wanted(self, printed: Printed) -> float:
        """How many skeins what is left of a thread takes at most; 0 if that is not known."""
        used = printed.used
        name = (printed.name, printed.number) if used is None else (used.used_name, used.used_number)
        try:
            found = self._book.need.of_thread(identity_of(*name))
        except CommandError:
            return 0.0
        return 0.0 if found is None else found.left.skeins.high

    def use(self, printed: Printed, used: UsedInstead | None) -> str:
        """Use a thread instead, None for the printed one again; a sentence if it cannot be."""
        desk = self._table.bench.desk
        if used is None:
            change = None if printed.used is None else desk.notes.removing(printed.used)
            told = f"{printed.called} again, as the key prints it."
        else:
            same = identity_of(printed.name, printed.number) == identity_of(used.used_name, used.used_number)
            if same and used.colour == printed.colour and used.kind == printed.kind:
                return THE_SAME
            change = desk.notes.putting(replace(used, time=time.time_ns() // 1_000_000))
            called = used.used_name or used.used_number
            told = f"{called} instead of {printed.called} in the whole piece."
        if change is not None:
            desk.note(change)
            self._table.voice.hint(told)
        return ""

    def _own_dialog(self, entry: OwnEntry, own: OwnThread, parent: QWidget) -> OwnThreadDialog:
        """Have a thread of her own corrected, wherever differences name it."""
        desk = self._table.bench.desk

        def corrected(used: UsedInstead) -> str:
            if not desk.keeps:
                return NOT_KEPT
            change = desk.notes.putting(OwnThread.of(replace(used, time=own.time), own.id))
            if change is not None:
                desk.note(change)
            return ""

        return OwnThreadDialog(
            Printed(entry.name, entry.number, entry.kind, entry.colour), own, corrected, parent
        )

    def _printed(self, entry: KeyEntry) -> list[Printed]:
        """The threads that a line of the key prints, with what is used instead of them."""
        entry = printed_entry(entry)
        notes = self._table.bench.desk.notes.used_instead
        told = {identity_of(each.name, each.number): each for each in notes}
        threads: Sequence[KeyEntry | Thread] = entry.blend or (entry,)
        used = [told.get(identity_of(each.name, each.number)) for each in threads]
        return [
            Printed(each.name, each.number, each.kind, each.colour, mine)
            for each, mine in zip(threads, used, strict=True)
        ]

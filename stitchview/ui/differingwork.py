"""Where the cloth differs from the open chart: recorded or unpicked, listed, drawn, gone to, taken back."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from PySide6.QtWidgets import QDialog, QWidget

from stitchview.canvas.differsign import sign_of
from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry
from stitchview.chart.threadname import identity_of
from stitchview.done.differences import Added, Difference, NotWorked, OtherThread, Shifted
from stitchview.done.differing import effect_of, held, recording, taking_back
from stitchview.done.ids import new_name, now_ms
from stitchview.done.unpicked import Unpicked
from stitchview.done.usedinstead import OwnThread, UsedInstead
from stitchview.errors import CommandError
from stitchview.follow.areawords import area_words
from stitchview.follow.differencewords import difference_words, effect_words, first_area, kind_words
from stitchview.follow.numbering import Numbering
from stitchview.plan.piece import manner_of
from stitchview.plan.unpicking import Unpicking, unpicking, with_lengths
from stitchview.ui.bench import Bench
from stitchview.ui.differencedialog import LESS, MORE, SHIFTED, DifferenceDialog, Wish
from stitchview.ui.differencesdialog import DifferencesDialog
from stitchview.ui.hint import Voice
from stitchview.ui.lentkeys import UNDOING, lend_keys
from stitchview.ui.screenroom import move_beside
from stitchview.ui.signboard import SignBoard

IN_KEY = "The key has that very thread. Choose it there, or tell its lot if it is of another."
KEPT_NOWHERE = "Marks of this chart are kept in memory only, so no difference can be kept."


class DifferingWork:
    """The `DifferingWorks` of one sitting; whatever is recorded lays the chart out anew."""

    def __init__(
        self, bench: Bench, signs: SignBoard, voice: Voice, board: QWidget, go: Callable[[Area], None]
    ) -> None:
        self._bench, self._voice, self._board, self._go = bench, voice, board, go
        self._numbering = Numbering.TOP_LEFT
        self._signs, self._held = signs, held(bench.desk.marks)
        self.asking: DifferenceDialog | None = None
        self.listing: DifferencesDialog | None = None
        self.form: QDialog | None = None

    def use(self, numbering: Numbering) -> None:
        """Count squares otherwise, and show what differs."""
        self._numbering = numbering
        self._signs.lay_differences(tuple(sign_of(each) for each in self._held))
        self.changed()

    def changed(self) -> None:
        """Follow the notes."""
        if self.listing is not None:
            self.listing.refresh()

    @property
    def is_listed(self) -> bool:
        """Whether the list is open."""
        return self.listing is not None and self.listing.isVisible()

    def record(self) -> None:
        """Ask what differs: in the band if there is one, else at the pointer."""
        bench = self._bench
        band = bench.band.lit
        area = Area(*bench.pointer.square_or_middle, 1, 1)
        if band is not None and not band.clipped(bench.desk.chart.area).empty:
            area = band.clipped(bench.desk.chart.area)
        self._ask(area)

    def lies_off(self, area: Area, across: int, down: int) -> None:
        """Ask whether an area that was found to lie so far off is kept so, or unpicked."""
        self._ask(area).lies_off(across, down)

    def _ask(self, area: Area) -> DifferenceDialog:
        if self.asking is not None:
            self.asking.close()
            self.asking.deleteLater()
        bench = self._bench
        self.asking = DifferenceDialog(bench.desk.chart, area, bench.holding.thread, self, self._board)
        self.asking.open()
        return self.asking

    def open(self) -> None:
        """List where the cloth differs, in a window of its own that stays beside the chart."""
        if self.listing is None:
            self.listing = DifferencesDialog(self, self._board)
            lend_keys(self.listing, self._board, UNDOING)
        if not self.listing.isVisible():
            move_beside(self.listing, self._board)
        self.listing.refresh()
        self.listing.show()
        self.listing.raise_()
        self.listing.activateWindow()
        self.listing.list.setFocus()

    # What the dialogs ask for

    def told(self, wish: Wish) -> str:
        """What keeping it comes to; raises `CommandError` if it cannot be kept."""
        if not self._bench.desk.keeps:
            raise CommandError(KEPT_NOWHERE, "Make room beside the chart first.")
        difference = self._wished(wish)
        return effect_words(difference, effect_of(self._bench.desk.marks, difference, wish.own))

    def lost_m(self, wish: Wish) -> float:
        """How many metres unpicking would lose; raises `CommandError` where nothing is worked."""
        return self._unpicking(wish).lost_mm / 1000

    def keep(self, wish: Wish) -> None:
        """Record the difference, as one stroke."""
        difference = self._wished(wish)
        self._bench.desk.make(recording(self._bench.desk.marks, difference, wish.own))

    def unpick(self, wish: Wish, lost_m: float) -> None:
        """Unpick what is worked there and note the thread lost, as one stroke."""
        found, desk = self._unpicking(wish), self._bench.desk
        share = lost_m * 1000 / found.lost_mm if found.lost_mm else 1.0
        if round(lost_m, 2) != round(found.lost_mm / 1000, 2):
            found = with_lengths(found, share)
        desk.mark(found.change.selection(), 0, desk.notes.putting(*found.notes))
        self._board.window().activateWindow()
        self._board.setFocus()
        stitches = "1 stitch" if found.stitches == 1 else f"{found.stitches:,} stitches"
        self._voice.hint(f"{stitches} unpicked; {lost_m:.2f} m of single strand lost.")

    def ask_own(self, wish: Wish, taken: Callable[[OwnThread], None], parent: QWidget) -> None:
        """Ask for a thread that the key has not, `wish.own` filled in; `taken` gets it."""
        # Loaded only now: nobody who opens a chart to stitch waits for the forms that plan.
        from stitchview.ui.planning.insteaddialog import Printed
        from stitchview.ui.planning.owndialog import OwnThreadDialog

        chart = self._bench.desk.chart

        def told(used: UsedInstead) -> str:
            if _in_key(used, chart.key):
                return IN_KEY
            name = new_name() if wish.own is None else wish.own.id
            taken(OwnThread.of(replace(used, time=now_ms()), name))
            return ""

        near = chart.key[wish.was - 1] if wish.was else _commonest(chart, wish.area)
        self.form = OwnThreadDialog(
            Printed(near.name, near.number, near.kind, near.colour), wish.own, told, parent
        )
        self.form.open()

    def lines(self) -> list[tuple[str, Difference | Unpicked]]:
        """Each in words, and what was unpicked after them."""
        chart, notes = self._bench.desk.chart, self._bench.desk.notes
        told: list[tuple[str, Difference | Unpicked]] = []
        for each in notes.differences:
            over = "" if each in self._held else "; it does not fit the chart and is passed over"
            told.append((f"{difference_words(chart, each, self._numbering)}{over}", each))
        for gone in notes.unpicked:
            area = Area(gone.column, gone.row, gone.columns, gone.rows)
            where = area_words(chart, area, self._numbering)
            lost = f"{gone.lost_mm / 1000:.2f} m of strand lost"
            told.append((f"Unpicked: {gone.stitches:,} of {gone.name}, {lost} ({where})", gone))
        return told

    def visit(self, what: Difference | Unpicked) -> None:
        """Go there."""
        if isinstance(what, Unpicked):
            area = Area(what.column, what.row, what.columns, what.rows)
        else:
            area = first_area(what)
        self._go(area.clipped(self._bench.desk.chart.area))

    def take_back(self, what: Difference) -> None:
        """Have the cloth no longer differ there, as one stroke."""
        desk = self._bench.desk
        desk.make(taking_back(desk.marks, what))
        self._voice.hint(f"Taken back: {kind_words(desk.chart, what)}.")

    def _unpicking(self, wish: Wish) -> Unpicking:
        book, marks = self._bench.piece, self._bench.desk.marks
        return unpicking(marks, wish.area, wish.was or None, book.pitch, manner_of(book.habits))

    def _wished(self, wish: Wish) -> Difference:
        key, area = self._bench.desk.chart.key, wish.area
        placed = (new_name(), area.column, area.row, area.columns, area.rows)
        was = key[wish.was - 1].code if wish.was else ""
        code = key[wish.number - 1].code if wish.number > 0 else ""
        if wish.own is not None:
            code = wish.own.id
        if wish.kind == SHIFTED:
            if not (wish.across or wish.down):
                raise CommandError("A block that lies off by nothing does not differ.", "Say by how many.")
            return Shifted(*placed, wish.across, wish.down)
        if wish.kind == LESS:
            return NotWorked(*placed, wish.sort, was)
        if wish.kind == MORE:
            return Added(*placed, code)
        if was == code:
            raise CommandError("That is the thread of the chart.", "Choose the thread on the cloth.")
        return OtherThread(*placed, wish.sort, was, code)


def _in_key(used: UsedInstead, key: Sequence[KeyEntry]) -> bool:
    """Whether the key has that very thread; one of a lot that she tells is another."""
    wanted = identity_of(used.used_name, used.used_number), used.kind, used.colour
    told = ((identity_of(each.name, each.number), each.kind, each.colour) for each in key if not each.blend)
    return not used.lot and wanted in told


def _commonest(chart: Chart, area: Area) -> KeyEntry:
    """The thread of most crosses in an area; the first of the key where it has none."""
    squares = chart.squares[area.clipped(chart.area).slices()]
    counts = np.bincount(squares.ravel(), minlength=len(chart.key) + 1)[1:]
    return chart.key[int(counts.argmax())]

"""The line under the chart that always answers: where am I, what is left, and is it kept."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QRect, QTimer
from PySide6.QtGui import QIcon, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from stitchview.canvas.desk import Desk, Keeping
from stitchview.canvas.looks import Look
from stitchview.chart.model import Chart, KeyEntry
from stitchview.done.change import FIRST_LEG, LATER, MISTAKE
from stitchview.done.inventory import others_words
from stitchview.follow.numbering import Counted
from stitchview.follow.place import OnSheet, Place, left_words, sentence, thread_words
from stitchview.follow.threadnames import NameBook
from stitchview.ui.bandwork import InBand
from stitchview.ui.chips import Chips
from stitchview.ui.icons import icon
from stitchview.ui.keywords import name_of
from stitchview.ui.linerooms import lines_for, rooms_for, widths_of
from stitchview.ui.segment import Segment, line_height

# "Kept" comes back only when the hand has rested so long, or it would flicker at every stitch.
REST_MS = 400
NOWHERE = "Point at a square"
NOTHING = InBand(0, 0, 0, 0)


class PlaceLine(QWidget):
    """Shows the place, what is left, the thread in hand and how safe the marks are, in fixed places."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._chips = Chips()
        self._look, self._pictures = Look(), dict[str, bytes]()
        self._spoken: dict[str, str] = {}
        self._place: Place | None = None
        self._entry: KeyEntry | None = None
        self._left, self._mine = NOTHING, False
        self._names = NameBook()
        self._band = ""
        self._keeping: Keeping | None = None
        self._kept_icon = QIcon()
        self.where, self.block = Segment("Place", "", "", self), Segment("Block", "", "", self)
        self.sheet = Segment("Sheet", "", "", self)
        self.here = Segment(
            "Thread here", "Sample cotton 17, red", "Sample cotton 117, slate blue", self, True
        )
        self.band = Segment("Band", "", "", self, True)
        self.hand = Segment(
            "Thread in hand", "000 left: cotton 17", "000 left: Sample cotton 117", self, True
        )
        self.kept = Segment("Keeping", "Keeping 0 stroke…", "Keeping 000 strokes…", self, True)
        self._make_room(None)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._say_keeping)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Where am I")
        self._renew_icons()
        self._say_all()

    # What is shown

    def set_desk(self, desk: Desk | None) -> None:
        """Take the chips from another chart; forget what was shown of the one before."""
        self._pictures = dict(desk.chart.attachments) if desk else {}
        self._chips = Chips(self._look, self._pictures)
        self.take_names(desk.chart.key if desk else ())
        self._place = self._entry = None
        self._left, self._mine, self._band = NOTHING, False, ""
        self._keeping = desk.keeping if desk else None
        self._make_room(desk.chart if desk else None)
        self._lay_out()
        self._say_all()

    def take_names(self, key: Sequence[KeyEntry]) -> None:
        """Name threads as the key does that is worked with."""
        self._spoken = {each.code: name for each, name in zip(key, self._names.of(key), strict=True)}

    def set_look(self, look: Look) -> None:
        """Draw the chips in another look."""
        if look != self._look:
            self._look = look
            self._chips = Chips(look, self._pictures)
            self._say_place()
            self._say_hand()

    def show_place(self, place: Place | None) -> None:
        """Show the square that is pointed at; None for none."""
        if place != self._place:
            self._place = place
            self._say_place()

    def show_left(self, left: InBand, in_hand: bool) -> None:
        """Show what is left in the band, and if asked how much of the thread in hand."""
        self._left, self._mine = left, in_hand
        self._say_band()
        self._say_hand()

    def show_band(self, text: str) -> None:
        """Show where the band lies, in words; empty for no band."""
        self._band = text
        self._say_band()

    def show_in_hand(self, entry: KeyEntry | None) -> None:
        """Show the thread in hand; None for none."""
        self._entry = entry
        self._say_hand()

    def show_keeping(self, keeping: Keeping) -> None:
        """Show how safe the marks are; it is never said to be safe before it is."""
        self._keeping = keeping
        if keeping.waiting or keeping.trouble:
            self._rest.stop()
            self._say_keeping()
        else:
            self._rest.start()

    @property
    def sentence(self) -> str:
        """Everything that is shown, in full."""
        return " ".join(segment.full for segment in self._segments if segment.full)

    # Words

    def _say_all(self) -> None:
        self._say_place()
        self._say_band()
        self._say_hand()
        self._rest.stop()
        self._say_keeping()

    def _say_place(self) -> None:
        place = self._place
        if place is None:
            self.where.show_words(NOWHERE)
            for segment in (self.block, self.sheet, self.here):
                segment.show_words("")
            self.here.show_chip(None, None)
            return
        full = sentence(place)
        self.where.show_words(where_words(place), full, (short_where_words(place),))
        # A whole block or sheet is told in the tip where there is no room for it.
        self.block.show_words(block_words(place), full, ("",))
        self.sheet.show_words(sheet_words(place.sheets), full, (*shorter_sheet_words(place.sheets), ""))
        self.here.show_words(here_words(place), full)
        entry = place.entry or next((part.entry for part in place.parts), None)
        self.here.show_chip(entry, self._chips)

    def _say_band(self) -> None:
        left = self._left
        if not self._band:
            self.band.show_words("No band")
            return
        others = f" Of all there: {told}." if (told := others_words(left.states)) else ""
        full = f"{left_words(left.left, left.squares, left.over)}{others}"
        counts = count_words(left)
        few = f"{left.left:,} left" if left.left else counts
        shorter = f"{self._band}: {few}", few
        self.band.show_words(f"{self._band}: {counts}", f"{self._band}. {full}", shorter)

    def _say_hand(self) -> None:
        self.hand.show_chip(self._entry, self._chips)
        if self._entry is None:
            self.hand.show_words("No thread in hand")
            return
        left = f"{self._left.mine:,} left in the band" if self._mine else ""
        told = f"{self._left.mine:,} left: " if left else ""
        # The whole name is cut just before what tells one thread of a long key from another.
        name = self._spoken.get(self._entry.code, name_of(self._entry))
        full = f"In hand: {thread_words(self._entry)}{', ' if left else ''}{left}."
        self.hand.show_words(f"{told}{name}", full)

    def _say_keeping(self) -> None:
        self.setAccessibleDescription(self.sentence)
        if self._keeping is None:
            self.kept.show_icon(None)
            self.kept.show_words("")
            return
        waiting, trouble = self._keeping.waiting, self._keeping.trouble
        self.kept.show_icon(None if trouble or waiting else self._kept_icon)
        if trouble:
            self.kept.show_words(f"Not kept: {trouble}", trouble=True)
        elif waiting:
            self.kept.show_words(f"Keeping {waiting:,} stroke{'s' if waiting > 1 else ''}…")
        else:
            self.kept.show_words("Kept", "Every mark is kept on the disk.")

    # Places

    def _make_room(self, chart: Chart | None) -> None:
        """Give each part room for the longest that it can have to say of a chart."""
        for segment, (least, usual) in zip(
            (self.where, self.block, self.sheet, self.band), rooms_for(chart), strict=True
        ):
            segment.make_room_for(least, usual)
        self.sheet.setVisible(chart is None or bool(chart.sheets))

    @property
    def _segments(self) -> tuple[Segment, ...]:
        return self.where, self.block, self.sheet, self.here, self.band, self.hand, self.kept

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the segments out anew: only the width of the window and the letters matter."""
        super().resizeEvent(event)
        self._lay_out()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the theme and the size of the letters."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._renew_icons()
            self._say_keeping()
            self._lay_out()

    def _renew_icons(self) -> None:
        self._kept_icon = icon("kept", self.palette())

    def _lay_out(self) -> None:
        lines = lines_for([each for each in self._segments if not each.isHidden()], self.width())
        height = line_height(self)
        for at, line in enumerate(lines):
            left = 0
            for segment, width in zip(line, widths_of(line, self.width()), strict=True):
                segment.setGeometry(QRect(left, at * height, width, height))
                left += width
        self.setFixedHeight(height * len(lines))


def count_words(left: InBand) -> str:
    """What is left in the band, short; lines, knots and beads once they are all that is left."""
    if left.left:
        return f"{left.left:,} of {left.squares:,} left"
    if left.over:
        return "1 line or knot left" if left.over == 1 else f"{left.over:,} lines, knots left"
    return "all done" if left.squares else "no stitches"


SHORT_STATES = {FIRST_LEG: "First leg: ", LATER: "Later: ", MISTAKE: "Mistake: "}


def where_words(place: Place) -> str:
    """Column and row, short."""
    return f"{_counted('Column', place.column)}, {_counted('row', place.row)}"


def short_where_words(place: Place) -> str:
    """Column and row by their numbers alone."""
    return f"{_short(place.column)}, {_short(place.row)}"


def block_words(place: Place) -> str:
    """The block of ten by ten, short; empty on a centre line, which belongs to none."""
    if not place.column.block or not place.row.block:
        return ""
    return f"Block {_with_side(place.column.block, place.column)}, {_with_side(place.row.block, place.row)}"


def sheet_words(sheets: Sequence[OnSheet]) -> str:
    """The first paper sheet and the square on it, and how many more sheets show it."""
    if not sheets:
        return ""
    more = f" +{len(sheets) - 1}" if len(sheets) > 1 else ""
    return f"{sheets[0].name}: {sheets[0].column}, {sheets[0].row}{more}"


def shorter_sheet_words(sheets: Sequence[OnSheet]) -> tuple[str, ...]:
    """The same without the other sheets, then only which sheet."""
    return (sheet_words(sheets[:1]), sheets[0].name) if sheets else ()


def here_words(place: Place) -> str:
    """What is stitched in the square, short."""
    names = [name_of(place.entry)] if place.entry else []
    parts = len(place.parts)
    if parts:
        names.append(f"{parts} part stitch{'es' if parts > 1 else ''}")
    told = " + ".join(names) or "No stitch"
    # First, because the end is cut where there is no room, and the thread shows on its chip as well.
    differs = f"Here the cloth differs: {place.differs} · " if place.differs else ""
    return differs + SHORT_STATES.get(place.state, "") + told


def _counted(name: str, counted: Counted) -> str:
    return (
        f"{name} on centre" if counted.side == "centre" else f"{name} {_with_side(counted.number, counted)}"
    )


def _short(counted: Counted) -> str:
    return "centre" if counted.side == "centre" else _with_side(counted.number, counted)


def _with_side(number: int, counted: Counted) -> str:
    return f"{number} {counted.side}".rstrip()

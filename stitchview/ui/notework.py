"""Pins, parked threads and threads held back on the open chart."""

from collections.abc import Callable

from stitchview.canvas.signs import ParkSign, PinSign
from stitchview.done.notebook import NotesChange
from stitchview.done.notes import Parked, Pin
from stitchview.errors import StitchviewError
from stitchview.follow.blockgrid import BlockGrid
from stitchview.follow.fitwords import square_words
from stitchview.follow.heldback import holding_back, still_held
from stitchview.follow.numbering import Numbering
from stitchview.follow.parking import number_of, parked_in, parking, stray_words, strays
from stitchview.follow.threadnames import NameBook
from stitchview.follow.threadwork import ThreadWork
from stitchview.ui.bench import Bench
from stitchview.ui.hint import Voice
from stitchview.ui.pointer import Square
from stitchview.ui.signboard import SignBoard
from stitchview.ui.slip import Slip


class NoteWork:
    """Notes and takes off notes through the desk, and shows them on the chart."""

    def __init__(
        self, bench: Bench, signs: SignBoard, slip: Slip, voice: Voice, go: Callable[[Square], None]
    ) -> None:
        self._bench, self._signs, self._slip, self._voice, self._go = bench, signs, slip, voice, go
        self._book = NameBook()
        self._numbering = Numbering.TOP_LEFT
        self._grid = BlockGrid.of(bench.desk.chart.columns, bench.desk.chart.rows, self._numbering)

    @property
    def _names(self) -> tuple[str, ...]:
        return self._book.of(self._bench.desk.chart.key)

    def use(self, numbering: Numbering) -> None:
        """Count squares and blocks otherwise."""
        chart = self._bench.desk.chart
        self._numbering = numbering
        self._grid = BlockGrid.of(chart.columns, chart.rows, numbering)

    def show(self) -> None:
        """Show pins and parked threads as they are noted now."""
        desk = self._bench.desk
        pins = tuple(
            PinSign((pin.column, pin.row), str(number)) for number, pin in enumerate(desk.notes.pins, 1)
        )
        parks = tuple(
            ParkSign((each.column, each.row), desk.chart.key[number - 1].colour)
            for each in desk.notes.parked
            if (number := number_of(desk.chart, each.code))
        )
        self._signs.lay_notes(pins, parks)
        self.follow()

    def follow(self) -> None:
        """Say on the slip which threads are parked in the block of the pointer."""
        square, desk = self._bench.pointer.square, self._bench.desk
        if not desk.notes.parked:
            self._slip.write("parked", "")
        elif square is not None:
            here = parked_in(desk.notes, self._grid.area(self._grid.block_at(*square)))
            told = ", ".join(f"{self.name_of(each.code)} at {self.square_words(each)}" for each in here)
            self._slip.write("parked", f"Parked in this block: {told}." if told else "")

    # Words

    def name_of(self, code: str) -> str:
        """A thread by its code; one that the key has lost is told by the code."""
        number = number_of(self._bench.desk.chart, code)
        return self._names[number - 1] if number else f"thread of symbol {code}"

    def square_words(self, note: Pin | Parked) -> str:
        """Where a note is, as she counts."""
        told = square_words(self._bench.desk.chart, (note.column, note.row), self._numbering)
        return told[:1].lower() + told[1:]

    def listed(self) -> list[tuple[str, Pin | Parked | int]]:
        """All that is noted, in words, and what it is: a pin, a parked thread, a thread held back."""
        notes, found = self._bench.desk.notes, list[tuple[str, Pin | Parked | int]]()
        for number, pin in enumerate(notes.pins, 1):
            words = f"Pin {number}: {pin.name} ({self.square_words(pin)})"
            found.append((f"{words}: {pin.note}" if pin.note else words, pin))
        for each in notes.parked:
            found.append((self._parked_words(each), each))
        return found + [(f"Held back: {words}", number) for number, words in self.held_words()]

    def _parked_words(self, parked: Parked) -> str:
        desk = self._bench.desk
        if parked in strays(desk.chart, desk.notes):
            return f"{stray_words(desk.chart, parked)} ({self.square_words(parked)})"
        return f"Parked: {self.name_of(parked.code)} ({self.square_words(parked)})"

    # Pins

    def pin(self, square: Square, name: str, note: str) -> None:
        """Stick a pin into a square."""
        self._note_pin(lambda: Pin.new(*square, name, note))

    def rename(self, pin: Pin, name: str, note: str) -> None:
        """Give a pin another name and note."""
        self._note_pin(lambda: Pin(pin.id, pin.column, pin.row, name, note, pin.extra))

    def next_pin(self) -> None:
        """Go to the next pin in the order in which they were stuck in, after the last the first."""
        pins, cursor = self._bench.desk.notes.pins, self._bench.pointer.square_or_middle
        if not pins:
            self._voice.hint("No pins yet.")
            return
        at = next((number for number, pin in enumerate(pins) if (pin.column, pin.row) == cursor), -1)
        pin = pins[(at + 1) % len(pins)]
        self.go_to(pin)
        self._voice.hint(f"Pin {(at + 1) % len(pins) + 1}: {pin.name}. {pin.note}".rstrip())

    def go_to(self, note: Pin | Parked) -> None:
        """Go to where a note is."""
        if self._bench.desk.chart.area.holds(note.column, note.row):
            self._go((note.column, note.row))
        else:
            self._voice.hint("This square is no longer on the chart.")

    def take_off(self, note: Pin | Parked) -> None:
        """Take a pin out, or a parked thread up."""
        self._bench.desk.note(self._bench.desk.notes.removing(note))

    # Threads

    def park(self, square: Square | None = None) -> None:
        """Park the thread in hand at a square or the pointer; one that hangs there already is taken up."""
        desk, number = self._bench.desk, self._bench.holding.thread
        if not number:
            return
        square = square or self._bench.pointer.square_or_middle
        name = self._names[number - 1]
        try:
            change: NotesChange | None = parking(desk.chart, desk.notes, number, *square)
        except StitchviewError as error:
            self._voice.hint(str(error))
            return
        told = "is parked here"
        if change is None:
            change = desk.notes.removing(Parked(desk.chart.key[number - 1].code, *square))
            told = "is taken up again"
        desk.note(change)
        self._voice.hint(f"{name[:1].upper()}{name[1:]} {told}.")

    def hold_back(self) -> None:
        """Hold the thread in hand back for the end; one that is held back is released."""
        number = self._bench.holding.thread
        if number:
            self.set_held(number, not self.is_held(number))

    def set_held(self, number: int, held: bool) -> None:
        """Hold a thread of the key back, or release it."""
        desk, name = self._bench.desk, self._names[number - 1]
        desk.note(holding_back(desk.chart, desk.notes, number, held))
        told = "is held back for the end" if held else "is no longer held back"
        self._voice.hint(f"{name[:1].upper()}{name[1:]} {told}.")

    def is_held(self, number: int) -> bool:
        """Whether a thread of the key is held back."""
        return bool(number) and self._bench.desk.notes.is_held(self._bench.desk.chart.key[number - 1])

    def held_words(self) -> tuple[tuple[int, str], ...]:
        """The threads still held back: number, and words with what is left of each."""
        found = still_held(ThreadWork(self._bench.desk.marks))
        return tuple(
            (each.number, f"{self._names[each.number - 1]}, {each.left.total:,} left") for each in found
        )

    def _note_pin(self, make: Callable[[], Pin]) -> None:
        try:
            self._bench.desk.note(self._bench.desk.notes.putting(make()))
        except StitchviewError as error:
            self._voice.hint(str(error))

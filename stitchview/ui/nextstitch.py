"""Going to what is left: nearest stitch of the thread in hand, next, the one before, next block."""

from functools import cached_property

from stitchview.chart.area import Area
from stitchview.done.change import Change
from stitchview.follow.blocks import Blocks, BlockState
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.heldback import work_that_is_next
from stitchview.follow.nearest import following, nearest, preceding
from stitchview.follow.numbering import Numbering
from stitchview.follow.place import place_of
from stitchview.follow.spots import Found
from stitchview.follow.threadnames import NameBook
from stitchview.follow.threadwork import ThreadWork
from stitchview.ui.bench import Bench
from stitchview.ui.hint import Voice
from stitchview.ui.placeline import block_words
from stitchview.ui.pointer import Square

STATE_WORDS = {
    BlockState.BARE: "nothing to stitch",
    BlockState.UNTOUCHED: "untouched",
    BlockState.BEGUN: "begun",
    BlockState.FINISHED: "finished",
}


class NextStitch:
    """Finds what is left on one chart, and brings the keyboard pointer there."""

    def __init__(self, bench: Bench, voice: Voice) -> None:
        self.bench, self.voice = bench, voice
        self._numbering = Numbering.TOP_LEFT
        self._blocks: Blocks | None = None
        self._names = NameBook()

    @cached_property
    def work(self) -> ThreadWork:
        """What is left of each thread."""
        return ThreadWork(self.bench.desk.marks)

    @property
    def open_work(self) -> ThreadWork:
        """The same, where all threads are but those that she holds back for the end."""
        return work_that_is_next(self.work)

    @property
    def pitch(self) -> Pitch:
        """The size of a square on her cloth."""
        return self.bench.piece.pitch

    @property
    def names(self) -> tuple[str, ...]:
        """The threads' short names, in the order of the key."""
        return self._names.of(self.bench.desk.chart.key)

    @property
    def numbering(self) -> Numbering:
        """How she counts."""
        return self._numbering

    def count_as(self, numbering: Numbering) -> None:
        """Count otherwise; blocks lie between other lines then."""
        if numbering is not self._numbering:
            self._numbering, self._blocks = numbering, None

    @property
    def blocks(self) -> Blocks:
        """The blocks as she counts them without what is held back, made when they are first asked for."""
        work = self.open_work
        if self._blocks is None or self._blocks.work.numbers != work.numbers:
            self._blocks = Blocks(work, self._numbering)
        return self._blocks

    def marks_changed(self, change: Change) -> None:
        """Follow the marks."""
        if self._blocks is not None:
            self._blocks.changed(change)

    @property
    def place(self) -> Square:
        """Where she is: the pointer, else the marks made last, else the middle of what is shown."""
        square, latest = self.bench.pointer.square, self.bench.desk.latest
        if square is not None or latest is None or latest.area.empty:
            return square or self.bench.pointer.square_or_middle
        area = latest.area
        return area.column + area.columns // 2, area.row + area.rows // 2

    # Going

    def nearest_left(self) -> None:
        """Go to the stitch of the thread in hand left nearest to the place."""
        thread = self.bench.holding.thread
        self._go(nearest(self.work, thread, self.place, self.pitch), "The nearest is left right here.")

    def next_left(self) -> None:
        """Go to the next square of the thread in hand that is left, in reading order."""
        thread = self.bench.holding.thread
        self._go(following(self.work, thread, self.place, self.pitch), "This is the only one left.")

    def previous_left(self) -> None:
        """Go to the square before of the thread in hand that is left, in reading order."""
        thread = self.bench.holding.thread
        self._go(preceding(self.work, thread, self.place, self.pitch), "This is the only one left.")

    def go_to(self, square: Square) -> None:
        """Look at a square, and put the keyboard pointer on it."""
        self.bench.going.visit(Area(*square, 1, 1))
        self.bench.pointer.put(*square)

    def next_block(self, of_thread: bool) -> None:
        """Go to the nearest other block with work left, of the thread in hand or of any."""
        number = self.bench.holding.thread if of_thread else None
        place = self.place
        block = self.blocks.nearest(place, self.pitch, number, elsewhere=True)
        if block is None:
            left = self.open_work.left(number).total
            self.voice.hint("No other block has work left." if left else "All that is not held back is done.")
            return
        area = self.blocks.grid.area(block)
        found = nearest(self.open_work, number, place, self.pitch, area)
        square = (area.column, area.row) if found is None else (found.column, found.row)
        self.bench.going.visit(area)
        self.bench.pointer.put(*square)
        self.voice.hint(f"{self.block_words(square)}.")

    def block_words(self, square: Square) -> str:
        """The block of a square: its number, how far it is, and what is left in it."""
        blocks = self.blocks
        across, down = block = blocks.grid.block_at(*square)
        place = place_of(self.bench.desk.chart, *square, self._numbering)
        name = (block_words(place) if place is not None else "") or "This block"
        state, left = blocks.state(block), int(blocks.left[down, across])
        told = f", {left:,} of {int(blocks.stitches[down, across]):,} left" if left else ""
        return f"{name}: {STATE_WORDS[state]}{told}"

    def _go(self, found: Found | None, stays: str) -> None:
        if found is None:
            self.voice.hint("All of this thread is done.")
            return
        square = found.column, found.row
        if square == self.place:
            self.voice.hint(stays)
        elif found.family in ("lines", "points"):
            self.voice.hint("Of this thread only back stitch, straight stitch, knots or beads are left.")
        self.go_to(square)

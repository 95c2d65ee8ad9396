"""The last things on the open chart: told in words, gone to one after the other, left out and taken up."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtWidgets import QWidget

from stitchview.done.leftout import CROSSES, LINES
from stitchview.follow.fitwords import square_words
from stitchview.follow.lastthings import LastThing, LastThings, Step, last_things, leaving_out
from stitchview.follow.numbering import Numbering
from stitchview.follow.threadnames import NameBook
from stitchview.ui.bench import Bench
from stitchview.ui.hint import Voice
from stitchview.ui.lastdialog import LastDialog, Line
from stitchview.ui.lentkeys import UNDOING, lend_keys
from stitchview.ui.pointer import Square
from stitchview.ui.screenroom import move_beside

STEP_WORDS = {
    Step.MISTAKES: ("Mistake to unpick", "Mistakes"),
    Step.HIDDEN: ("Hidden hole", "Hidden holes"),
    Step.CROSSES: ("Crosses", "Crosses and part stitches"),
    Step.BACK_STITCH: ("Back stitch", "Back and straight stitch"),
    Step.KNOTS: ("Knots", "Knots"),
    Step.METALLICS: ("Metallic", "Metallics"),
    Step.BEADS: ("Beads", "Beads"),
}
LEGS = "First legs, to be crossed"
FINISHED = "Finished: nothing is open, and nothing waits."
FINISHED_BUT = "Finished: what is left is left out on purpose."
MUCH = "{left:,} stitches are left. The list begins when there are few enough to go to one by one."
MOST_LINES, MOST_BEADS = 500, 12


@dataclass(frozen=True, slots=True)
class OutOf:
    """All that is left out of one thread, of one sort."""

    sort: str
    code: str


class LastWork:
    """Lists through `LastDialog`, and notes what is left out through the desk."""

    def __init__(self, bench: Bench, voice: Voice, board: QWidget, go: Callable[[Square], None]) -> None:
        self._bench, self._voice, self._board, self._go = bench, voice, board, go
        self._book = NameBook()
        self._numbering = Numbering.TOP_LEFT
        self._gone_to = set[Square]()
        self.dialog: LastDialog | None = None

    @property
    def _names(self) -> tuple[str, ...]:
        return self._book.of(self._bench.desk.chart.key)

    def use(self, numbering: Numbering) -> None:
        """Count squares otherwise."""
        self._numbering = numbering
        self.changed()

    def open(self) -> None:
        """List the last things in a window of its own, which stays beside the chart."""
        if self.dialog is None:
            self.dialog = LastDialog(self, self._board)
            lend_keys(self.dialog, self._board, (*UNDOING, "next-last-thing"))
        if not self.dialog.isVisible():
            move_beside(self.dialog, self._board)
        self.dialog.refresh()
        self.dialog.show()
        self.dialog.raise_()
        self.dialog.activateWindow()
        self.dialog.list.setFocus()

    def changed(self) -> None:
        """Follow marks and notes, once hands rest."""
        if self.dialog is not None:
            self.dialog.follow()

    def found(self) -> LastThings:
        """The last things, seen from the pointer."""
        return last_things(
            self._bench.desk.marks, self._bench.pointer.square_or_middle, self._bench.piece.pitch
        )

    def next_thing(self) -> None:
        """Go to the next of the last things; after the last comes the first."""
        found, here = self.found(), self._bench.pointer.square_or_middle
        if not found.things:
            self._voice.hint(self.told(found))
            return
        # Each is listed by how near it is to here, so the next in the list could be the one just left.
        self._gone_to.add(here)
        gone = [not self._gone_to.isdisjoint(each.group.squares) for each in found.things]
        if all(gone):
            self._gone_to = {here}
            gone = [here in each.group.squares for each in found.things]
        thing = found.things[gone.index(False) if False in gone else 0]
        self._go(thing.square)
        if self.dialog is not None:
            self.dialog.choose(thing)
        self._voice.hint(f"{self.words(thing)}.")

    # Words

    def told(self, found: LastThings) -> str:
        """How far the piece is, above the list."""
        if found.finished:
            return FINISHED_BUT if any(each.left_out for each in found.steps) else FINISHED
        wrong = sum(each.group.stitches for each in found.things if each.step is Step.MISTAKES)
        if not found.complete:
            return MUCH.format(left=found.left) + (f" Mistakes to unpick: {wrong:,}." if wrong else "")
        places = "1 place" if len(found.things) == 1 else f"{len(found.things):,} places"
        stitches = "1 stitch" if found.left == 1 else f"{found.left:,} stitches"
        return f"{stitches} left at {places}."

    def progress(self, found: LastThings) -> str:
        """Each step with its own progress, and how many beads are to buy."""
        lines = []
        for each in found.steps:
            out = f", {each.left_out:,} left out" if each.left_out else ""
            lines.append(f"{STEP_WORDS[each.step][1]}: {each.done:,} of {each.stitches:,} done{out}")
        for bead in found.beads[:MOST_BEADS]:
            out = f", {bead.left_out:,} left out" if bead.left_out else ""
            name, counts = self._names[bead.number - 1], f"{bead.sewn_on:,} sewn on{out}"
            lines.append(f"{name[:1].upper()}{name[1:]}: {counts}, {bead.to_come:,} to buy or have")
        if len(found.beads) > MOST_BEADS:
            more = found.beads[MOST_BEADS:]
            lines.append(f"{len(more):,} more beads: {sum(each.to_come for each in more):,} to buy or have")
        return "\n".join(lines)

    def words(self, thing: LastThing) -> str:
        """One of the last things in words."""
        count = f"{thing.group.stitches:,} " if thing.group.stitches > 1 else ""
        waits = ", left for later" if thing.waits else ""
        chart = self._bench.desk.chart
        where = square_words(chart, thing.square, self._numbering)
        step, name = STEP_WORDS[thing.step][0], self._names[thing.number - 1]
        if thing.legs:
            step = LEGS if thing.step is Step.CROSSES else f"{step}, {LEGS[0].lower()}{LEGS[1:]}"
        return f"{step}: {count}{name}{waits} ({where[:1].lower()}{where[1:]})"

    def lines(self, found: LastThings) -> list[Line]:
        """The list: the last things in their order, then what is left out."""
        told = [Line(self.words(each), each) for each in found.things[:MOST_LINES]]
        numbers = {entry.code: number for number, entry in enumerate(self._bench.desk.chart.key, 1)}
        for sort, code in dict.fromkeys((each.sort, each.code) for each in self._bench.desk.notes.left_out):
            name = self._names[numbers[code] - 1] if code in numbers else f"thread of symbol {code}"
            kind = {CROSSES: "crosses", LINES: "back stitch"}.get(sort, "knots and beads")
            told.append(Line(f"Left out: {kind}, {name}", OutOf(sort, code)))
        return told

    # Choices

    def choose(self, what: object) -> None:
        """Go to one of the last things."""
        if isinstance(what, LastThing):
            self._go(what.square)

    def leave_out(self, what: object, whole_step: bool) -> None:
        """Leave one of the last things out, or with `whole_step` all that is left of its step."""
        if not isinstance(what, LastThing):
            return
        desk, things = self._bench.desk, [what]
        if whole_step:
            things = [each for each in self.found().things if each.step is what.step]
        desk.note(desk.notes.putting(*leaving_out(desk.chart, things)))

    def take_up(self, what: object) -> None:
        """Take up again what was left out of a thread."""
        if isinstance(what, OutOf):
            desk = self._bench.desk
            mine = [each for each in desk.notes.left_out if (each.sort, each.code) == (what.sort, what.code)]
            desk.note(desk.notes.removing(*mine))

"""The next needleful on the open chart: proposed as a path, worked, or used up before its end."""

from itertools import pairwise

from stitchview.chart.area import Area
from stitchview.done.change import DONE
from stitchview.errors import CommandError
from stitchview.follow.calibration import Estimate
from stitchview.follow.habits import Habits
from stitchview.follow.keptpath import KeptPath, kept_path, path_again
from stitchview.follow.needleful import Needleful, Wish, used_up
from stitchview.follow.needlefulends import end_of, estimate_of
from stitchview.follow.proposing import next_needleful, why_none
from stitchview.follow.threadnames import spoken_names
from stitchview.follow.threadwork import ThreadWork
from stitchview.ui.bench import Bench
from stitchview.ui.hint import Voice
from stitchview.ui.needlewords import needleful_words
from stitchview.ui.pointer import Square
from stitchview.ui.signboard import SignBoard
from stitchview.ui.slip import Slip

_NONE = "No needleful is proposed. Take a thread in hand and ask for the next needleful first."


class NeedleWork:
    """Keeps the path that is proposed, if one is."""

    def __init__(self, bench: Bench, signs: SignBoard, slip: Slip, voice: Voice) -> None:
        self._bench, self._signs, self._slip, self._voice = bench, signs, slip, voice
        self._work = ThreadWork(bench.desk.marks)
        self.path: Needleful | None = None

    @property
    def habits(self) -> Habits:
        """How she works on this piece."""
        return self._bench.piece.habits

    @property
    def estimate(self) -> Estimate:
        """What was learnt from the needlefuls that were used up on this chart."""
        return estimate_of(self._bench.desk.notes.needlefuls)

    @property
    def kept(self) -> KeptPath | None:
        """The path as it is kept over the evening."""
        return None if self.path is None else kept_path(self.path)

    def restore(self, kept: KeptPath) -> None:
        """Lay the path again that was proposed when the chart was closed, if it still can be worked."""
        if kept.number != self._bench.holding.thread:
            return
        key = self._bench.desk.chart.key
        try:
            wish = self._wish(kept.number, kept.place)
        except CommandError:
            return
        path = path_again(kept, self._work, wish)
        if path is not None:
            self._lay(path, self._words(path, spoken_names(key)[kept.number - 1]), aloud=False)

    def propose(self, square: Square | None = None) -> None:
        """Propose the next needleful of the thread in hand from a square on, or from the pointer."""
        desk, number = self._bench.desk, self._bench.holding.thread
        if not number:
            return
        name = spoken_names(desk.chart.key)[number - 1]
        try:
            wish = self._wish(number, square or self._bench.pointer.square_or_middle)
            path = next_needleful(self._work, wish)
        except CommandError as error:
            self._voice.hint(str(error))
            return
        if path is None:
            self.put_away()
            self._voice.hint(why_none(self._work.left(number), name))
            return
        self._lay(path, self._words(path, name))
        first = Area(int(path.stitches.columns[0]), int(path.stitches.rows[0]), 1, 1)
        self._bench.going.visit(first)

    def use(self, habits: Habits) -> None:
        """Reckon with other habits from now on, and keep them."""
        if not self._bench.piece.use_habits(habits):
            self._voice.tell("The settings cannot be written; these hold for this piece only.")
        if self.path is not None:
            self.propose(self.path.wish.place)

    def worked(self) -> None:
        """Mark all of the path as done, in one stroke."""
        if self.path is None:
            self._voice.hint(_NONE)
            return
        self._end(self.path, len(self.path) - 1, all_of_it=True)

    def used_up_here(self, square: Square | None = None) -> None:
        """Mark the path up to a square or the pointer, where the thread was used up; learn from it."""
        if self.path is None:
            self._voice.hint(_NONE)
            return
        column, row = square or self._bench.pointer.square_or_middle
        stitches = self.path.stitches
        here = ((stitches.columns == column) & (stitches.rows == row)).nonzero()[0]
        if len(here):
            self._end(self.path, int(here[-1]), all_of_it=False)
        else:
            self._voice.hint("The needleful does not come to this square. Point at its last square.")

    def follow(self) -> None:
        """Take the path away when its thread is in hand no longer."""
        if self.path is not None and self.path.wish.number != self._bench.holding.thread:
            self.put_away()

    def put_away(self) -> bool:
        """Take the path away; whether there was one."""
        there = self.path is not None
        self.path = None
        self._signs.lay_route(())
        self._slip.write("needleful", "")
        return there

    def _words(self, path: Needleful, name: str) -> str:
        left = self._work.left(path.wish.number)
        return needleful_words(path, name, left.total - left.in_squares)

    def _wish(self, number: int, place: Square) -> Wish:
        """How a needleful of a thread is worked by her habits; raises `CommandError` for absurd ones."""
        entry = self._bench.desk.chart.key[number - 1]
        needle = self.habits.needle(entry, self._bench.piece.pitch, self.estimate.factor)
        looks, band = self._bench.looks, self._bench.band.band
        # A band says whether she works along rows or columns; else, and in a frame, rows as she sees them.
        one_way = band is not None and (band.rows is None or band.columns is None)
        down = self._bench.band.upright if one_way else looks.turn.lies
        return Wish(number, place, needle, self.habits.carrying, looks.course(down))

    def _lay(self, path: Needleful, words: str, aloud: bool = True) -> None:
        self.path = path
        squares = list(zip(path.stitches.columns.tolist(), path.stitches.rows.tolist(), strict=True))
        # Two part stitches of one square are one number on the path.
        self._signs.lay_route((squares[0], *(there for here, there in pairwise(squares) if here != there)))
        self._slip.write("needleful", words, aloud)

    def _end(self, path: Needleful, at: int, all_of_it: bool) -> None:
        desk = self._bench.desk
        left = max(0.0, path.left_mm) if all_of_it else 0.0
        end = end_of(desk.chart, path, at, left, used_up=not all_of_it)
        self.put_away()
        done = used_up(path, at)
        desk.mark(done.selection(desk.chart.columns), DONE, desk.notes.putting(end))
        self._bench.pointer.put(end.column, end.row)
        self._voice.hint(f"Marked {at + 1:,} stitch{'' if at == 0 else 'es'} of the needleful.")

"""The tape: laid from a square, led by the pointer, fixed at another square, and put away."""

from stitchview.follow.tape import bearings_of, between_squares
from stitchview.ui.bench import Bench
from stitchview.ui.pointer import Square
from stitchview.ui.signboard import SignBoard
from stitchview.ui.slip import Slip
from stitchview.ui.tapewords import bearing_words, measured_words

_BEGUN = "The tape begins here. Point at the other end and press the key again to fix it."


class TapeWork:
    """The one tape over a chart; `led` tells that its end still follows the pointer."""

    def __init__(self, bench: Bench, signs: SignBoard, slip: Slip) -> None:
        self._bench, self._signs, self._slip = bench, signs, slip
        self.ends: tuple[Square, Square] | None = None
        self.led = False

    def press(self) -> None:
        """Lay the tape from the pointer; if it is being led, fix it there."""
        square = self._bench.pointer.square_or_middle
        if self.led:
            self.fix(square)
        else:
            self.lay_from(square)

    def lay_from(self, square: Square) -> None:
        """Lay the tape from a square on; its other end follows the pointer."""
        self.led, self.ends = True, (square, square)
        self._tell(aloud=True)

    def fix(self, square: Square) -> None:
        """Fix the other end at a square."""
        if self.ends is not None:
            self.led, self.ends = False, (self.ends[0], square)
            self._tell(aloud=True)

    @property
    def fixed(self) -> tuple[Square, Square] | None:
        """The ends of a tape that is fixed; None for one that is led still."""
        return None if self.led else self.ends

    def restore(self, ends: tuple[Square, Square]) -> None:
        """Lay the tape as it was fixed."""
        self.led, self.ends = False, ends
        self._tell()

    def follow(self) -> None:
        """Lead the end to where the pointer has come, if it is on the chart and the tape is not fixed."""
        square = self._bench.pointer.square
        if self.led and self.ends is not None and square is not None and square != self.ends[1]:
            self.ends = self.ends[0], square
            self._tell()

    def put_away(self) -> bool:
        """Put the tape away; whether there was one."""
        there, self.ends, self.led = self.ends is not None, None, False
        self._tell()
        return there

    def _tell(self, aloud: bool = False) -> None:
        self._signs.lay_tape(self.ends)
        self._slip.write("tape", self._words(), aloud)

    def _words(self) -> str:
        if self.ends is None:
            return ""
        chart, (first, last) = self._bench.desk.chart, self.ends
        pitch = self._bench.piece.pitch
        begun = self.led and first == last
        told = _BEGUN if begun else f"Tape: {measured_words(between_squares(first, last, pitch))}"
        return f"{told}\n{bearing_words(bearings_of(chart.area, *last, pitch))}"

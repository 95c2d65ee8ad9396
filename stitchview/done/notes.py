"""What she notes beside the marks: pins, threads parked or held back, needlefuls, skeins, sittings."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from stitchview.done.differences import Added, NotWorked, OtherThread, Shifted
from stitchview.done.finishnotes import Finished, ThreadTest, ThreadUsed
from stitchview.done.ids import new_name
from stitchview.done.leftout import LeftOut
from stitchview.done.sittingnotes import ClothPhoto, SittingSeam, SittingWord, TimePin
from stitchview.done.skeinnotes import LotArea, LotTime, SkeinNote, SkeinSize
from stitchview.done.unpicked import Unpicked
from stitchview.done.usedinstead import OwnThread, UsedInstead
from stitchview.errors import CommandError

MOST_NAME_LETTERS = 200
MOST_NOTE_LETTERS = 2_000
MOST_STITCHES = 1 << 30
MOST_MM = 1e9

Subject = tuple[str | int, ...]
"""What tells a note from all others of its kind, and sorts them."""


@dataclass(frozen=True, slots=True)
class Pin:
    """A named place: a square of the chart, which may lie off it once the chart is smaller.

    `id` stays the same when it is renamed or moved. `extra` keeps members that a newer version wrote
    and this one does not know. Raises `CommandError` for texts that cannot be kept.
    """

    id: str
    column: int
    row: int
    name: str
    note: str = ""
    extra: Mapping[str, Any] = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if len(self.name) > MOST_NAME_LETTERS:
            raise CommandError(f"A pin's name can have {MOST_NAME_LETTERS} letters.", "Shorten it.")
        if len(self.note) > MOST_NOTE_LETTERS:
            raise CommandError(f"A pin's note can have {MOST_NOTE_LETTERS:,} letters.", "Shorten it.")
        try:
            f"{self.name}{self.note}".encode()
        except UnicodeEncodeError as error:
            raise CommandError("A pin's text holds half a letter.", "Type it anew.") from error

    @classmethod
    def new(cls, column: int, row: int, name: str, note: str = "") -> "Pin":
        """A pin put in now."""
        return cls(new_name(), column, row, name, note)

    @property
    def subject(self) -> Subject:
        """Its id; ids rise in the order in which pins are put in."""
        return (self.id,)


@dataclass(frozen=True, slots=True)
class Parked:
    """A thread left hanging at a square: the `code` of its key entry, which the key may have lost since."""

    code: str
    column: int
    row: int

    @property
    def subject(self) -> Subject:
        """All of it: a thread hangs at a square once, and sorts as one reads."""
        return (self.row, self.column, self.code)


@dataclass(frozen=True, slots=True)
class HeldBack:
    """Her choice whether a thread waits for the end (`held`) or not, whatever the chart says of it."""

    code: str
    held: bool

    @property
    def subject(self) -> Subject:
        """The code of the key entry."""
        return (self.code,)


@dataclass(frozen=True, slots=True)
class NeedlefulEnd:
    """What came of one needleful of the key entry `code`, from which her use of thread is learnt.

    It covered so many `stitches` and ended at a square. `used_up` tells that she said so there;
    else it was worked as far as was proposed. `reckoned_mm` is the thread by plain geometry,
    `used_mm` what was really used, both without tails: the two numbers of `calibration.Outcome`.
    Raises `ValueError` for numbers no needleful can have.
    """

    id: str
    code: str
    stitches: int
    column: int
    row: int
    used_up: bool
    reckoned_mm: float
    used_mm: float

    def __post_init__(self) -> None:
        lengths = self.reckoned_mm, self.used_mm
        if not 0 <= self.stitches <= MOST_STITCHES or not all(0 <= each <= MOST_MM for each in lengths):
            raise ValueError("a needleful cannot have covered or taken that much, or less than nothing")

    @property
    def subject(self) -> Subject:
        """Its id; ids rise in the order in which needlefuls end."""
        return (self.id,)


Note = (
    Pin
    | Parked
    | HeldBack
    | NeedlefulEnd
    | SkeinNote
    | SkeinSize
    | LotArea
    | LotTime
    | SittingSeam
    | SittingWord
    | ClothPhoto
    | TimePin
    | LeftOut
    | Finished
    | ThreadUsed
    | ThreadTest
    | Shifted
    | OtherThread
    | NotWorked
    | Added
    | UsedInstead
    | OwnThread
    | Unpicked
)

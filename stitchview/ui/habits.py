"""How she works with thread, whichever chart is open: what the next needleful is reckoned with."""

import math
from dataclasses import astuple, dataclass, fields

from PySide6.QtCore import QSettings

from stitchview.chart.model import KeyEntry
from stitchview.follow.carrying import LONGEST_CARRY_MM, Carrying
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.length import END_TAIL_MM, START_TAIL_MM, WORKING_LENGTH_MM, Needle, Working

LENGTH, TAIL, CARRY = (200.0, 1500.0), (0.0, 90.0), (0.0, 60.0)
"""Least and most in millimetres; the tails together are always shorter than the shortest thread."""


@dataclass(frozen=True, slots=True)
class Habits:
    """Lengths in millimetres; strands come from the key, the square's size from the cloth."""

    length_mm: float = WORKING_LENGTH_MM
    start_tail_mm: float = START_TAIL_MM
    end_tail_mm: float = END_TAIL_MM
    carry_mm: float = LONGEST_CARRY_MM
    under_stitches: bool = False
    at_once: bool = False

    def needle(self, entry: KeyEntry, pitch: Pitch, factor: float) -> Needle:
        """The needle for a thread; `factor` is what has been learnt of her use of thread."""
        return Needle(
            pitch,
            Working.AT_ONCE if self.at_once else Working.ROWS,
            entry.cross_strands,
            self.length_mm,
            self.start_tail_mm,
            self.end_tail_mm,
            factor=factor,
        )

    @property
    def carrying(self) -> Carrying:
        """How far the thread may be carried."""
        return Carrying(self.carry_mm, self.under_stitches)


_GROUP = "needleful"
_BOUNDS = {"length_mm": LENGTH, "start_tail_mm": TAIL, "end_tail_mm": TAIL, "carry_mm": CARRY}
_WORDS = ("no", "yes")


def read_habits(settings: QSettings) -> Habits:
    """What was kept; whatever is missing or makes no sense is as usual."""
    usual = Habits()
    return Habits(
        _length(settings, "length_mm", usual.length_mm),
        _length(settings, "start_tail_mm", usual.start_tail_mm),
        _length(settings, "end_tail_mm", usual.end_tail_mm),
        _length(settings, "carry_mm", usual.carry_mm),
        _text(settings, "under_stitches") == "yes",
        _text(settings, "at_once") == "yes",
    )


def keep_habits(settings: QSettings, habits: Habits) -> bool:
    """Write the habits down; whether they could be written."""
    for each, value in zip(fields(habits), astuple(habits), strict=True):
        written = _WORDS[value] if isinstance(value, bool) else f"{value:.1f}"
        settings.setValue(f"{_GROUP}/{each.name}", written)
    settings.sync()
    return settings.status() is QSettings.Status.NoError


def _text(settings: QSettings, name: str) -> str:
    value = settings.value(f"{_GROUP}/{name}")
    return value if isinstance(value, str) else ""


def _length(settings: QSettings, name: str, usual: float) -> float:
    try:
        length = float(_text(settings, name))
    except ValueError:
        return usual
    least, most = _BOUNDS[name]
    return length if math.isfinite(length) and least <= length <= most else usual

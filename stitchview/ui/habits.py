"""How she usually works with thread, kept for pieces that have no habits of their own yet."""

from dataclasses import astuple, fields

from PySide6.QtCore import QSettings

from stitchview.follow.habits import BOUNDS, Habits, is_length

_GROUP = "needleful"
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
    return length if is_length(length, BOUNDS[name]) else usual

"""What she prefers, whichever chart is open, and how it is kept between sittings."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QSettings

from stitchview.canvas.looks import Look
from stitchview.done.sittings import Pauses
from stitchview.errors import StitchviewError
from stitchview.follow.numbering import Numbering
from stitchview.ui.theme import Theme

DIM = (0.15, 0.9)
SYMBOL_SIZE = (0.44, 0.84)
LINE_WEIGHT = (0.08, 0.3)

GAP_MINUTES, IDLE_MINUTES = (5, 240), (1, 60)
"""What can be chosen of minutes of quiet: those that end a sitting, and those that are no work."""
_GROUP = "preferences"
_USUAL_LOOK = Look()
Choice = TypeVar("Choice", bound=StrEnum)


@dataclass(frozen=True, slots=True)
class Preferences:
    """Only what people really change; the looks of a chart are kept with its place.

    `dim` is how much of the dimming colour lies outside the band, `symbol_size` the height of a
    symbol and `line_weight` the width of back stitch, both in squares. `single_keys` lets letters,
    digits and signs pressed by themselves work as keys (WCAG 2.2, 2.1.4 asks for a way to stop them).
    `speaks` says runs aloud that are called out. `left_handed` mirrors the order of work.
    `pauses` tells how the diary takes minutes of quiet.
    """

    theme: Theme = Theme.SYSTEM
    numbering: Numbering = Numbering.TOP_LEFT
    dim: float = _USUAL_LOOK.dim
    symbol_size: float = _USUAL_LOOK.symbol_size
    line_weight: float = _USUAL_LOOK.line_weight
    snaps_to_tens: bool = False
    steps_on: bool = False
    single_keys: bool = True
    speaks: bool = False
    left_handed: bool = False
    pauses: Pauses = Pauses()  # noqa: RUF009 (frozen, so one default can be shared)

    def look(self, look: Look, night: bool) -> Look:
        """A look of a chart with these preferences in it, by day or night."""
        return replace(
            look,
            night=night,
            dim=self.dim,
            symbol_size=self.symbol_size,
            line_weight=self.line_weight,
        )


def read_preferences(settings: QSettings) -> Preferences:
    """What was kept; whatever is missing, damaged or of another version is as usual."""
    usual = Preferences()
    return Preferences(
        theme=_choice(settings, "theme", usual.theme),
        numbering=_choice(settings, "numbering", usual.numbering),
        dim=_number(settings, "dim", usual.dim, DIM),
        symbol_size=_number(settings, "symbol_size", usual.symbol_size, SYMBOL_SIZE),
        line_weight=_number(settings, "line_weight", usual.line_weight, LINE_WEIGHT),
        snaps_to_tens=_switch(settings, "snaps_to_tens", usual.snaps_to_tens),
        steps_on=_switch(settings, "steps_on", usual.steps_on),
        single_keys=_switch(settings, "single_keys", usual.single_keys),
        speaks=_switch(settings, "speaks", usual.speaks),
        left_handed=_switch(settings, "left_handed", usual.left_handed),
        pauses=_pauses(settings, usual.pauses),
    )


def keep_preferences(settings: QSettings, preferences: Preferences) -> None:
    """Write the preferences down. Raises `StitchviewError` when the file cannot be written."""
    written: Iterable[tuple[str, str]] = (
        ("theme", preferences.theme.value),
        ("numbering", preferences.numbering.value),
        ("dim", f"{preferences.dim:.4f}"),
        ("symbol_size", f"{preferences.symbol_size:.4f}"),
        ("line_weight", f"{preferences.line_weight:.4f}"),
        ("snaps_to_tens", _SWITCH_WORDS[preferences.snaps_to_tens]),
        ("steps_on", _SWITCH_WORDS[preferences.steps_on]),
        ("single_keys", _SWITCH_WORDS[preferences.single_keys]),
        ("speaks", _SWITCH_WORDS[preferences.speaks]),
        ("left_handed", _SWITCH_WORDS[preferences.left_handed]),
        ("sitting_ends_after", f"{preferences.pauses.gap:g}"),
        ("pause_beyond", f"{preferences.pauses.idle:g}"),
    )
    for name, value in written:
        settings.setValue(f"{_GROUP}/{name}", value)
    settings.sync()
    if settings.status() is QSettings.Status.AccessError:
        raise StitchviewError(
            f"The settings cannot be kept in “{Path(settings.fileName())}”.",
            "Check whether the folder can be written to; until then they hold for this sitting only.",
        )


_SWITCH_WORDS = ("no", "yes")


def _text(settings: QSettings, name: str) -> str:
    value = settings.value(f"{_GROUP}/{name}")
    return value if isinstance(value, str) else ""


def _choice(settings: QSettings, name: str, usual: Choice) -> Choice:
    kinds = {kind.value: kind for kind in type(usual)}
    return kinds.get(_text(settings, name), usual)


def _number(settings: QSettings, name: str, usual: float, bounds: tuple[float, float]) -> float:
    try:
        number = float(_text(settings, name))
    except ValueError:
        return usual
    return number if math.isfinite(number) and bounds[0] <= number <= bounds[1] else usual


def _pauses(settings: QSettings, usual: Pauses) -> Pauses:
    gap = _number(settings, "sitting_ends_after", usual.gap, GAP_MINUTES)
    idle = _number(settings, "pause_beyond", usual.idle, IDLE_MINUTES)
    return Pauses(gap, min(gap, idle))


def _switch(settings: QSettings, name: str, usual: bool) -> bool:
    text = _text(settings, name)
    return text == "yes" if text in _SWITCH_WORDS else usual

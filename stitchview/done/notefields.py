"""The members of a note, read from JSON one by one, each by what it must be."""

from typing import Any

from stitchview.done.deflated import MalformedStroke
from stitchview.done.notes import MOST_MM

MOST_ID_LETTERS = 64
FARTHEST = 1 << 30
MOST_WHOLE = 1 << 53

Members = dict[str, Any]


def text(told: Members, name: str) -> str:
    """A text; raises `MalformedStroke` for anything else, as all of these do."""
    value = told.get(name)
    if not isinstance(value, str):
        raise MalformedStroke(f"the “{name}” of a note is no text")
    try:
        value.encode()
    except UnicodeEncodeError as error:
        # What was read is written again once it is taken back, and half a letter cannot be.
        raise MalformedStroke(f"the “{name}” of a note holds half a letter") from error
    return value


def identity(told: Members, name: str) -> str:
    """A text of 1 to 64 letters."""
    value = text(told, name)
    if not 0 < len(value) <= MOST_ID_LETTERS:
        raise MalformedStroke(f"the “{name}” of a note has an impossible length")
    return value


def truth(told: Members, name: str) -> bool:
    """True or false."""
    value = told.get(name)
    if not isinstance(value, bool):
        raise MalformedStroke(f"the “{name}” of a note is neither true nor false")
    return value


def whole(told: Members, name: str, most: int = FARTHEST) -> int:
    """A whole number, not farther from 0 than `most`."""
    value = told.get(name)
    if not isinstance(value, int) or isinstance(value, bool) or abs(value) > most:
        raise MalformedStroke(f"the “{name}” of a note is no whole number")
    return value


def length(told: Members, name: str, most: float = MOST_MM) -> float:
    """A number from 0 to `most`."""
    value = told.get(name)
    if not isinstance(value, int | float) or isinstance(value, bool) or not 0 <= value <= most:
        raise MalformedStroke(f"the “{name}” of a note is no length")
    return float(value)

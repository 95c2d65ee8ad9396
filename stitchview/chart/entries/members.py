"""The members of one JSON object, taken one by one: checked, named when wrong, kept when unknown."""

import re
from typing import Any

from stitchview.chart.colour import Colour
from stitchview.chart.containers.entrynames import CHART_ENTRY
from stitchview.chart.entries import strictjson
from stitchview.chart.limits import MOST_LABEL
from stitchview.chart.problems import Findings

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")
_CONTROL_BUT_LINES = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")


class Members:
    """One JSON object whose members are taken by name; `place` says in words which object it is.

    Each taking method gives the checked value. When it is missing though asked for (no `default`)
    or wrong, a problem is added and a stand-in given, so that reading goes on and finds the rest.
    What nobody took is unknown to this version: `rest()` gives it for keeping.
    """

    def __init__(self, value: dict[str, Any], place: str, findings: Findings) -> None:
        self._left = dict(value)
        self.place = place
        self.findings = findings

    def complain(self, what: str) -> None:
        """Add a problem of this object."""
        self.findings.add(f"{self.place}: {what}" if self.place else what, CHART_ENTRY)

    def holds(self, name: str) -> bool:
        """Whether a member of that name is there and not yet taken."""
        return name in self._left

    def take(self, name: str) -> Any:
        """The member as it stands, None when it is not there."""
        return self._left.pop(name, None)

    def text(
        self, name: str, default: str | None = None, most: int = MOST_LABEL, *, lines: bool = False
    ) -> str:
        """A text of at most `most` characters, with line ends only where `lines` says so.

        One that must be there must say something too.
        """
        if self._absent(name, default is None):
            return default or ""
        value = self.take(name)
        fault = text_fault(value, most, lines=lines)
        if not fault and default is None and not value.strip():
            fault = "must not be empty"
        if fault:
            self.complain(f"“{name}” {fault}")
            return default or ""
        return str(value)

    def texts(self, name: str, most: int) -> tuple[str, ...]:
        """A list of at most `most` texts that say something; empty when it is not there or wrong."""
        value = self._left.pop(name, [])
        if not isinstance(value, list) or len(value) > most:
            self.complain(f"“{name}” must be a list of at most {most:,} texts")
            return ()
        faults = [text_fault(text, MOST_LABEL) or ("" if text.strip() else "is empty") for text in value]
        if any(faults):
            self.complain(f"“{name}” holds a text that {next(filter(None, faults))}")
            return ()
        return tuple(value)

    def whole(self, name: str, least: int, most: int, default: int | None = None) -> int:
        """A whole number from `least` to `most`; 3.0 counts as 3, true does not count as 1."""
        if self._absent(name, default is None):
            return least if default is None else default
        value = self.take(name)
        if is_whole(value) and least <= value <= most:
            return int(value)
        self.complain(f"“{name}” must be a whole number from {least:,} to {most:,}, not {shown(value)}")
        return least if default is None else default

    def number(self, name: str, most: float, default: float) -> float:
        """A number above 0 and up to `most`."""
        if name not in self._left:
            return default
        value = self.take(name)
        if is_number(value) and 0 < value <= most:
            return float(value)
        self.complain(f"“{name}” must be a number above 0 and up to {most:g}, not {shown(value)}")
        return default

    def truth(self, name: str, *, default: bool) -> bool:
        """True or false."""
        value = self._left.pop(name, default)
        if isinstance(value, bool):
            return value
        self.complain(f"“{name}” must be true or false, not {shown(value)}")
        return default

    def colour(self, name: str, default: Colour) -> Colour:
        """A colour written as #RRGGBB."""
        if name not in self._left:
            return default
        value = self.take(name)
        try:
            return Colour.from_hex(value if isinstance(value, str) else "")
        except ValueError:
            self.complain(f"“{name}” must be a colour written as #RRGGBB, not {shown(value)}")
            return default

    def pair(self, name: str, most: int, default: tuple[int, int] | None = None) -> tuple[int, int]:
        """A list of two whole numbers, column then row, neither further than `most` from 0."""
        if self._absent(name, default is None):
            return default or (0, 0)
        value = self.take(name)
        if (
            isinstance(value, list)
            and len(value) == 2
            and all(is_whole(part) and abs(part) <= most for part in value)
        ):
            return int(value[0]), int(value[1])
        self.complain(
            f"“{name}” must be two whole numbers, column and row, within ±{most:,}, not {shown(value)}"
        )
        return default or (0, 0)

    def inner(self, name: str, place: str) -> "Members":
        """An object inside this one; an empty one when it is not there."""
        value = self._left.pop(name, {})
        if not isinstance(value, dict):
            self.complain(f"“{name}” must be an object in braces, not {shown(value)}")
            value = {}
        return Members(value, place, self.findings)

    def objects(self, name: str, most: int, *, required: bool = False) -> list[dict[str, Any]]:
        """A list of at most `most` objects; empty when it is not there or wrong."""
        if self._absent(name, required):
            return []
        value = self.take(name)
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            self.complain(f"“{name}” must be a list of objects in braces")
            return []
        if len(value) > most:
            self.complain(f"“{name}” has {len(value):,} items, at most {most:,} are allowed")
            return []
        return value

    def rest(self) -> dict[str, Any]:
        """The members nobody took."""
        return self._left

    def _absent(self, name: str, required: bool) -> bool:
        if name in self._left:
            return False
        if required:
            self.complain(f"“{name}” is missing")
        return True


def with_unknown(known: dict[str, Any], extra: object) -> dict[str, Any]:
    """`known` members in their order, then the unknown ones of `extra` by name; objects are joined."""
    if not isinstance(extra, dict):
        return known
    joined = dict(known)
    for name in sorted(extra):
        if name not in joined:
            joined[name] = strictjson.canonical(extra[name])
        elif isinstance(joined[name], dict) and isinstance(extra[name], dict):
            joined[name] = with_unknown(joined[name], extra[name])
    return joined


def text_fault(value: object, most: int, *, lines: bool = False) -> str:
    """What is wrong with a text, as the end of a sentence; empty when nothing is."""
    if not isinstance(value, str):
        return f"must be text in quotes, not {shown(value)}"
    if len(value) > most:
        return f"has {len(value):,} characters, at most {most:,} are allowed"
    if (_CONTROL_BUT_LINES if lines else _CONTROL).search(value):
        return "must not hold control characters"
    return ""


def is_number(value: object) -> bool:
    """Whether a JSON value is a number; true and false are not."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def is_whole(value: Any) -> bool:
    """Whether a JSON value is a whole number, written as 3 or as 3.0 (JSON Schema's integer)."""
    return is_number(value) and (isinstance(value, int) or value.is_integer())


def shown(value: object) -> str:
    """A JSON value in few words, for the end of a sentence."""
    if isinstance(value, dict | list):
        return "an object" if isinstance(value, dict) else "a list"
    text = strictjson.dump(value)
    return text if len(text) <= 40 else f"{text[:40]}…"

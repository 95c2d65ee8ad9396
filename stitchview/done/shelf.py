"""Where done layers lie, and in what condition each one is."""

import contextlib
import hashlib
import os
import re
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from enum import Enum, auto
from pathlib import Path

from stitchview.chart.model import Chart
from stitchview.done.schema import (
    ENDING,
    FACT_CHART,
    FIRST_FORMAT,
    FORMAT,
    check_structure,
    connect,
    format_of,
    read_facts,
    read_rows,
)
from stitchview.done.timeline import Timeline, timeline_of
from stitchview.done.troubles import IN_USE, DamagedLayer, is_damage, name_of, said_by
from stitchview.done.wreck import Wreck, read_wreck

CHART_ENDING = ".svchart"
# File systems take names of 255 bytes; number, ending and SQLite's journal need room too.
MOST_NAME_BYTES = 180


class Condition(Enum):
    """What was found at a layer's place."""

    GOOD = auto()
    EMPTY = auto()
    DAMAGED = auto()
    NEWER = auto()
    IN_USE = auto()
    UNREADABLE = auto()


@dataclass(frozen=True, eq=False)
class Finding:
    """A file found at a layer's place: its condition and, as far as it can be read, what it holds."""

    path: Path
    condition: Condition
    facts: dict[str, str] = field(default_factory=dict)
    timeline: Timeline = field(default_factory=Timeline)
    wreck: Wreck = field(default_factory=Wreck)
    reason: str = ""

    @property
    def strokes(self) -> int:
        """How many strokes can be read from it."""
        return len(self.wreck.rows) or self.timeline.count

    @property
    def newest(self) -> bytes:
        """The id of its latest stroke; empty if it has none."""
        return self.wreck.rows[-1].id if self.wreck.rows else self.timeline.newest or b""

    def belongs_to(self, identity: str) -> bool:
        """Whether it may be the layer of the chart: the same identity, or one of the two has none."""
        return not identity or self.facts.get(FACT_CHART, "") in ("", identity)


@dataclass(frozen=True)
class Shelf:
    """A folder, and the name (without number and ending) that a chart's layer has in it."""

    folder: Path
    name: str

    def places(self) -> Iterator[Path]:
        """The first, second, third ... name that a layer may have here."""
        yield self.folder / f"{self.name}{ENDING}"
        number = 2
        while True:
            yield self.folder / f"{self.name} {number}{ENDING}"
            number += 1

    def free_place(self) -> Path:
        """The first of the places where nothing is."""
        return next(place for place in self.places() if not place.is_symlink() and not place.exists())

    def taken_places(self) -> list[Path]:
        """Those of the places where a file is, in order."""
        pattern = re.compile(re.escape(self.name) + r"(?: ([1-9]\d{0,5}))?" + re.escape(ENDING))
        found = []
        with contextlib.suppress(OSError):
            for path in self.folder.iterdir():
                match = pattern.fullmatch(path.name)
                if match and path.is_file():
                    found.append((int(match.group(1) or 1), path))
        return [path for _, path in sorted(found)]

    def look(self, identity: str, read_only: bool) -> Finding | None:
        """The layer here that belongs to the chart of that identity; damaged ones only for want of a good.

        One with a number after the name belongs only by its identity: the name may be another chart's.
        Where that cannot be read just now, it may be hers, and is given when nothing else is found: a
        further one begun beside it would hide what is marked in it meanwhile.
        """
        damaged = closed = None
        first = next(self.places())
        for path in self.taken_places():
            finding = examine(path, identity, read_only)
            if finding is None:
                continue
            if path != first and finding.facts.get(FACT_CHART) != (identity or None):
                if finding.condition in (Condition.IN_USE, Condition.UNREADABLE):
                    closed = closed or finding
                continue
            if finding.condition not in (Condition.DAMAGED, Condition.EMPTY):
                return finding
            damaged = damaged or finding
        return damaged or closed


def shelves_of(chart_path: Path, chart: Chart, fallback_folder: Path) -> tuple[Shelf, Shelf]:
    """Beside the chart, and in the folder for charts beside which nothing can be written."""
    whole, name = chart_path.absolute(), layer_name(chart_path)
    named_by = chart.identity or str(whole)
    told = hashlib.sha256(named_by.encode("utf-8", "surrogatepass")).hexdigest()[:12]
    return Shelf(whole.parent, name), Shelf(fallback_folder, f"{_shortened(name)} {told}")


def layer_name(chart_path: Path) -> str:
    """The name, without number and ending, of the layer of the chart at `chart_path`."""
    whole = chart_path.absolute()
    is_folder = whole.is_dir() and whole.suffix.lower() != CHART_ENDING
    return whole.name if is_folder else whole.stem


def _shortened(name: str) -> str:
    encoded = os.fsencode(name)
    return name if len(encoded) <= MOST_NAME_BYTES else encoded[:MOST_NAME_BYTES].decode("utf-8", "ignore")


def examine(path: Path, identity: str, read_only: bool) -> Finding | None:
    """What lies at `path`, read through from end to end; None if it belongs to another chart."""
    try:
        finding = _examined(path, identity, read_only)
    except (sqlite3.Error, OSError) as error:
        in_use = name_of(error).startswith(IN_USE)
        finding = Finding(path, Condition.IN_USE if in_use else Condition.UNREADABLE, reason=said_by(error))
    return finding if finding.belongs_to(identity) else None


def _examined(path: Path, identity: str, read_only: bool) -> Finding:
    if path.stat().st_size == 0:
        return Finding(path, Condition.EMPTY)
    try:
        with contextlib.closing(connect(path, read_only)) as connection:
            return _read_through(path, connection, identity)
    except (DamagedLayer, UnicodeDecodeError) as damage:
        reason = str(damage)
    except sqlite3.Error as error:
        if not is_damage(error):
            raise
        reason = str(error)
    wreck = read_wreck(path)
    return Finding(path, Condition.DAMAGED, wreck.facts, wreck=wreck, reason=reason)


def _read_through(path: Path, connection: sqlite3.Connection, identity: str) -> Finding:
    version, facts = format_of(connection), read_facts(connection)
    finding = Finding(path, Condition.GOOD if version <= FORMAT else Condition.NEWER, facts)
    if version < FIRST_FORMAT:
        raise DamagedLayer("its format never was")
    if finding.condition is Condition.NEWER or not finding.belongs_to(identity):
        return finding
    check_structure(connection)
    return replace(finding, timeline=timeline_of(read_rows(connection)))

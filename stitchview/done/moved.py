"""Where a piece has gone whose chart was moved or renamed: found again by the chart's own identity."""

import os
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path

from stitchview.chart.containers.entrynames import CHART_ENTRY
from stitchview.chart.containers.opening import read_entries
from stitchview.chart.entries.strictjson import NotJson, parse
from stitchview.chart.fileformat import SUFFIX
from stitchview.chart.problems import Findings
from stitchview.errors import StitchviewError

MOST_FOLDERS = 300
MOST_CHARTS = 500
"""So much is looked through at most: a search that takes minutes finds nothing in time."""


def find_moved(identity: str, old: Path, folders: Iterable[Path]) -> Path | None:
    """The chart of that identity that lies in one of the folders or just below; None if it is nowhere there.

    The folder it lay in and the one above are looked through first. Charts that cannot be read are
    passed over. Nothing is found without an identity: a name alone may be another chart's.
    """
    if not identity:
        return None
    looked_through = islice(_charts_in([old.parent, old.parent.parent, *folders]), MOST_CHARTS)
    return next((path for path in looked_through if path != old and identity_of(path) == identity), None)


def identity_of(path: Path) -> str:
    """The identity of the chart at `path`, empty if it has none or cannot be read."""
    findings = Findings(path.name)
    try:
        told = parse(read_entries(path, findings)[CHART_ENTRY])
    except (StitchviewError, NotJson, KeyError, MemoryError):
        return ""
    found = told.get("identity") if isinstance(told, dict) else None
    return found.lower() if isinstance(found, str) else ""


def _charts_in(folders: Iterable[Path]) -> Iterator[Path]:
    """Chart files and chart folders in the folders and one level down, each once."""
    seen: set[Path] = set()
    for folder in dict.fromkeys(folders):
        for room in (folder, *_rooms_of(folder)):
            if len(seen) >= MOST_FOLDERS:
                return
            if room in seen:
                continue
            seen.add(room)
            if (room / CHART_ENTRY).is_file():
                yield room
            yield from (each for each in _entries(room) if each.suffix == SUFFIX)


def _rooms_of(folder: Path) -> list[Path]:
    return [each for each in _entries(folder) if not each.name.startswith(".") and each.is_dir()]


def _entries(folder: Path) -> list[Path]:
    try:
        return sorted(Path(folder, each.name) for each in os.scandir(folder))
    except OSError:
        return []

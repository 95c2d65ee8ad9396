"""Where her list of owned threads lies and which of its columns is which, kept for all pieces."""

import json
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QSettings

from stitchview.plan.stashcolumns import StashColumns, columns_from_json
from stitchview.plan.stashtable import StashError

_LIST, _COLUMNS = "stash/list", "stash/columns"


@dataclass(frozen=True, slots=True)
class StashPlace:
    """The list, and how its columns were mapped; None where its own headings say enough."""

    path: Path
    columns: StashColumns | None = None


def read_place(settings: QSettings) -> StashPlace | None:
    """What was kept; None if nothing was, and a mapping that makes no sense is no mapping."""
    path, columns = settings.value(_LIST), settings.value(_COLUMNS)
    if not isinstance(path, str) or not path:
        return None
    try:
        found = columns_from_json(columns.encode("utf-8")) if isinstance(columns, str) and columns else None
    except StashError:
        found = None
    return StashPlace(Path(path), found)


def keep_place(settings: QSettings, place: StashPlace) -> None:
    """Write it down."""
    settings.setValue(_LIST, str(place.path))
    told = "" if place.columns is None else json.dumps(place.columns.told, ensure_ascii=False)
    settings.setValue(_COLUMNS, told)
    settings.sync()

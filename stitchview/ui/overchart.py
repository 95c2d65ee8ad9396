"""What lies over a chart and is there again next evening: the tape, a proposed path, a half-filled patch."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from stitchview.chart.model import Chart, KeyEntry
from stitchview.errors import CommandError
from stitchview.follow.clothpatch import BARE, LARGEST, ClothPatch, Grid
from stitchview.follow.keptpath import KeptPath, path_read, path_written
from stitchview.follow.patchdraft import empty_draft
from stitchview.follow.patchtext import patch_from_text, patch_to_text

OVER = "over"
"""The member of the kept place under which all of it stands."""

Square = tuple[int, int]


@dataclass(frozen=True, slots=True)
class OverChart:
    """A fixed `tape` from square to square, a needleful's `path`, and the `patch` as a text of codes."""

    tape: tuple[Square, Square] | None = None
    path: KeptPath | None = None
    patch: str = ""


def over_written(over: OverChart, chart: Chart) -> dict[str, Any]:
    """All of it as a JSON object; squares are written by address, threads by their codes."""
    column, row = chart.origin
    return {
        "tape": over.tape and [[x + column, y + row] for x, y in over.tape],
        "needleful": over.path and path_written(over.path, chart),
        "patch": over.patch,
    }


def over_read(record: Mapping[str, Any], chart: Chart) -> OverChart:
    """What was written; whatever the chart has no longer, or makes no sense, is not there."""
    path, patch = record.get("needleful"), record.get("patch")
    return OverChart(
        tape=_tape(record.get("tape"), chart),
        path=path_read(path, chart) if isinstance(path, dict) else None,
        patch=patch if isinstance(patch, str) and _grid(patch, chart.key) is not None else "",
    )


def draft_text(draft: Grid, key: Sequence[KeyEntry]) -> str:
    """A draft as a text of codes; nothing for one that has no thread in it yet."""
    return patch_to_text(ClothPatch(draft), key) if (draft > BARE).any() else ""


def draft_of(text: str, key: Sequence[KeyEntry]) -> Grid:
    """The draft of a text of codes; an empty one where there is none."""
    found = _grid(text, key)
    return empty_draft() if found is None else found


def _grid(text: str, key: Sequence[KeyEntry]) -> Grid | None:
    try:
        squares = patch_from_text(text, key).squares
    except CommandError:
        return None
    return np.array(squares) if squares.shape == (LARGEST, LARGEST) else None


def _tape(told: object, chart: Chart) -> tuple[Square, Square] | None:
    if not isinstance(told, list) or len(told) != 2:
        return None
    first, last = (_square(each, chart) for each in told)
    return None if first is None or last is None else (first, last)


def _square(told: object, chart: Chart) -> Square | None:
    # A bool is an int in Python, though not in JSON; so the exact type is asked for.
    if not isinstance(told, list) or len(told) != 2 or not all(type(each) is int for each in told):
        return None
    square = told[0] - chart.origin[0], told[1] - chart.origin[1]
    return square if chart.area.holds(*square) else None

"""Which strokes were made over the cloth, and which only note something, as a shop or the diary tells it."""

from collections.abc import Iterable, Iterator

from stitchview.done.deflated import MalformedStroke
from stitchview.done.noterows import kinds_in
from stitchview.done.strokes import MAKING, StrokeRow
from stitchview.done.timeline import NO_STITCHES

AT_THE_CLOTH = frozenset(("pin", "parked", "held back", "needleful"))
"""Notes that are made with the work in hand; others are no sign of a sitting."""


def worked(rows: Iterable[StrokeRow]) -> Iterator[bytes]:
    """The ids of the strokes made over the cloth, from rows in the order of their ids.

    Undoing or redoing a stroke is work if the stroke was.
    """
    beside: set[bytes] = set()
    for row in rows:
        if row.target in beside or _is_beside(row):
            beside.add(row.id)
        else:
            yield row.id


def _is_beside(row: StrokeRow) -> bool:
    if row.kind not in MAKING or row.families != NO_STITCHES or row.notes is None:
        return False
    try:
        return not kinds_in(row.notes) & AT_THE_CLOTH
    except MalformedStroke:
        # Told as damage where the notes are read; of when she sat it tells as much as any stroke.
        return False

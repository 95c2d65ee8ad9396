"""Say of a done layer whether it is sound, or damaged with what can still be read, and how much is in it."""

from dataclasses import dataclass
from pathlib import Path

from stitchview.done.deflated import MalformedStroke
from stitchview.done.handwork import worked
from stitchview.done.joining import Piece
from stitchview.done.looking import look_into
from stitchview.done.noterows import notes_after
from stitchview.done.photographs import find_photo
from stitchview.done.shelf import Condition
from stitchview.done.sittings import day_of, sittings_of
from stitchview.done.timeline import timeline_of

ENDS = {
    Condition.EMPTY: "is an empty file; look for a copy of it (`stitchview copies`)",
    Condition.NEWER: "was written by a newer stitchview; update stitchview to check it",
    Condition.IN_USE: "is in use by another program; close that and check again",
}


@dataclass(frozen=True, slots=True)
class LayerReport:
    """What was found: the layer's condition, how many strokes and sittings can be read, as a sentence too."""

    path: Path
    condition: Condition
    strokes: int
    sittings: int
    sentence: str
    senseless: int = 0

    @property
    def is_sound(self) -> bool:
        """Whether nothing is wrong with it."""
        return self.condition is Condition.GOOD and not self.senseless


def report_on(path: Path) -> LayerReport:
    """Read the layer at `path` through, from end to end; it stays as it is, whatever is found."""
    seen = look_into(path)
    sittings = sittings_of(worked(sorted(seen.rows, key=lambda row: row.id)))
    count = "1 stroke" if len(seen.rows) == 1 else f"{len(seen.rows):,} strokes"
    held = f"{count} in {len(sittings):,} sitting{'' if len(sittings) == 1 else 's'}"
    last = f", the last on {day_of(sittings[-1]).isoformat()}" if sittings else ""
    match seen.condition:
        case Condition.GOOD if seen.senseless:
            more = f"and {seen.senseless:,} more that make no sense"
            told = f"is damaged: {held} can be read, {more}{last}; open its chart to have them saved"
        case Condition.GOOD:
            told = f"is a sound layer: {held}{last}"
        case Condition.DAMAGED:
            told = f"is damaged: {held} can be read{last}; open its chart to have them saved"
        case Condition.UNREADABLE:
            told = f"cannot be read ({seen.reason.rstrip('.')}); check the name, and who may read it"
        case other:
            told = ENDS[other]
    sentence = f"“{path.name}” {told}."
    return LayerReport(path, seen.condition, len(seen.rows), len(sittings), sentence, seen.senseless)


def photos_missing(piece: Piece, path: Path) -> tuple[str, ...]:
    """A sentence for each photograph in the notes of the layer at `path` that is not as it was."""
    rows = sorted(look_into(path).rows, key=lambda row: row.id)
    try:
        photos = notes_after(timeline_of(rows).notes, piece.chart.origin).photos
    except MalformedStroke:
        return ()
    return tuple(sentence for each in photos if (sentence := find_photo(piece, each).sentence))

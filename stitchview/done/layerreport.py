"""Say of a done layer whether it is sound, or damaged with what can still be read, and how much is in it."""

from dataclasses import dataclass
from pathlib import Path

from stitchview.done.handwork import worked
from stitchview.done.looking import look_into
from stitchview.done.shelf import Condition
from stitchview.done.sittings import day_of, sittings_of

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

    @property
    def is_sound(self) -> bool:
        """Whether nothing is wrong with it."""
        return self.condition is Condition.GOOD


def report_on(path: Path) -> LayerReport:
    """Read the layer at `path` through, from end to end; it stays as it is, whatever is found."""
    seen = look_into(path)
    sittings = sittings_of(worked(sorted(seen.rows, key=lambda row: row.id)))
    count = "1 stroke" if len(seen.rows) == 1 else f"{len(seen.rows):,} strokes"
    held = f"{count} in {len(sittings):,} sitting{'' if len(sittings) == 1 else 's'}"
    last = f", the last on {day_of(sittings[-1]).isoformat()}" if sittings else ""
    match seen.condition:
        case Condition.GOOD:
            told = f"is a sound layer: {held}{last}"
        case Condition.DAMAGED:
            told = f"is damaged: {held} can be read{last}; open its chart to have them saved"
        case Condition.UNREADABLE:
            told = f"cannot be read ({seen.reason.rstrip('.')}); check the name, and who may read it"
        case other:
            told = ENDS[other]
    sentence = f"“{path.name}” {told}."
    return LayerReport(path, seen.condition, len(seen.rows), len(sittings), sentence)

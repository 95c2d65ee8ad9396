"""The sentences that tell her what was found, and what was done, when her marks were opened."""

from pathlib import Path

NOT_KEPT = "Marks made now are not kept when the chart is closed."


def set_aside(layer: Path, aside: Path, saved: int) -> str:
    """A damaged layer was replaced by what could be saved from it."""
    return (
        f"“{layer.name}” was damaged. {_saved(saved)};"
        f" the damaged file is kept as “{aside.name}” in the same folder."
    )


def left_damaged(layer: Path, saved: int) -> str:
    """A damaged layer could not be set aside, but what could be saved is shown."""
    return f"“{layer.name}” is damaged and could not be moved out of the way. {_saved(saved)}."


def was_empty(layer: Path) -> str:
    """The file was there, without a byte in it."""
    return (
        f"“{layer.name}” was an empty file, so no marks could be read from it, and a fresh one is begun."
        " If it should hold marks, look for a copy in your backups."
    )


def newer(layer: Path, shown: bool) -> str:
    """The layer was written by a version that knows more."""
    marks = "its marks are shown" if shown else "its marks cannot be shown"
    return (
        f"“{layer.name}” was written by a newer stitchview and is left untouched; {marks}."
        f" {NOT_KEPT} Update stitchview to go on."
    )


def in_use(layer: Path) -> str:
    """Another program holds the layer."""
    return (
        f"“{layer.name}” is in use by another program, so its marks cannot be shown. {NOT_KEPT}"
        " Close the other program and open the chart again."
    )


def unreadable(layer: Path, reason: str) -> str:
    """The disk or the folder does not let the layer be read."""
    return (
        f"“{layer.name}” cannot be read ({reason.rstrip('.')}), so its marks cannot be shown;"
        " it is left as it is. Check the disk, or who may read the file."
    )


def other_name(taken: Path, layer: Path) -> str:
    """The first name belongs to another chart."""
    return f"“{taken.name}” belongs to another chart, so the marks of this one are kept in “{layer.name}”."


def elsewhere(chart: Path, layer: Path) -> str:
    """The layer is not beside the chart."""
    return f"Nothing can be kept beside “{chart.name}”, so its marks are kept in “{layer}”."


def still_elsewhere(chart: Path, layer: Path) -> str:
    """The layer lies in the other folder though the chart's own can be written now."""
    return f"The marks of “{chart.name}” are kept in “{layer}”, begun when nothing could be kept beside it."


def joined(layer: Path, other: Path, strokes: int) -> str:
    """Two layers had strokes of their own, and one of them has all of them now."""
    return (
        f"Marks of this chart lay in two places; those of “{other}” ({strokes:,} strokes) are joined to"
        f" “{layer}”, which is used now. The other file is left as it is."
    )


def two_places(layer: Path, other: Path, strokes: int) -> str:
    """Two layers have strokes of their own, and they could not be joined."""
    return (
        f"Marks of this chart lie in two places, and those of “{other}” ({strokes:,} strokes) could not be"
        f" joined to “{layer}”, which is used. Free some space and open the chart again."
    )


def nowhere(chart: Path, reason: str) -> str:
    """No folder can be written at all."""
    return (
        f"The marks of “{chart.name}” cannot be kept anywhere ({reason.rstrip('.')}). {NOT_KEPT}"
        " Free some space, or move the chart to a folder you can write to."
    )


def _saved(count: int) -> str:
    if count == 0:
        return "No stroke could be read from it"
    return (
        "1 stroke could be read and is shown"
        if count == 1
        else f"{count:,} strokes could be read and are shown"
    )

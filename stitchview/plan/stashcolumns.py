"""Which column of her list means what: told once by her own headings, or seen from usual ones."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from pathlib import Path

from stitchview.chart.entries import strictjson
from stitchview.chart.inputfile import open_plain, reason
from stitchview.plan.stashtable import StashError

# Headings in everyday use, from memory; her own names come in by a mapping.
USUAL: Mapping[str, tuple[str, ...]] = {
    "name": ("name", "thread", "thread name", "colour name", "color name", "shade", "description"),
    "number": (
        "number", "no", "no.", "nr", "nr.", "#", "thread number", "colour number", "color number",
        "colour no.", "color no.", "shade number", "code",
    ),
    "range": ("range", "thread range", "maker", "make", "brand", "series"),
    "kind": ("kind", "type", "fibre", "fiber", "material"),
    "colour": ("colour", "color", "hex", "rgb", "colour code", "color code", "swatch"),
    "skeins": ("skeins", "skein", "quantity", "qty", "amount", "how many", "owned", "have", "pieces"),
    "lot": ("lot", "dye lot", "dyelot", "dye-lot", "lot number", "lot no.", "batch"),
}  # fmt: skip
_MOST_JSON_BYTES = 64 * 1024


@dataclass(frozen=True, slots=True)
class StashColumns:
    """The heading of each column the program uses, as it stands in her list; "" where there is none."""

    name: str = ""
    number: str = ""
    range: str = ""
    kind: str = ""
    colour: str = ""
    skeins: str = ""
    lot: str = ""

    @property
    def told(self) -> dict[str, str]:
        """The headings that are told, by their use."""
        return {use: heading for use, heading in asdict(self).items() if heading}


USES = tuple(field.name for field in fields(StashColumns))
OUR_COLUMNS = StashColumns(**{use: use for use in USES})


def seen_columns(headings: Sequence[str]) -> StashColumns:
    """What usual headings mean; of two for one use the first."""
    plain = {heading.strip().casefold(): heading for heading in reversed(headings)}
    found = ((use, next((name for name in names if name in plain), "")) for use, names in USUAL.items())
    return StashColumns(**{use: plain[name] for use, name in found if name})


def checked_columns(columns: StashColumns, headings: Sequence[str], list_name: str) -> StashColumns:
    """The columns, if the list has them and they tell threads apart; else raises `StashError`."""
    there = ", ".join(f"“{heading[:40]}”" for heading in headings[:12]) or "none"
    for use, heading in columns.told.items():
        if heading not in headings:
            raise StashError(
                f"“{list_name}” has no column headed “{heading[:40]}” for the {use}; it has {there}.",
                "Say again which of your columns is which.",
            )
    twice = [heading for heading in columns.told.values() if list(columns.told.values()).count(heading) > 1]
    if twice:
        raise StashError(f"The column “{twice[0][:40]}” is named for two uses.", "Name it for one.")
    if not (columns.name or columns.number):
        raise StashError(
            f"“{list_name}” has no column for a thread's name or number; it has {there}.",
            "Say which of your columns is which, or head one of them “name” or “number”.",
        )
    return columns


def read_columns(path: Path) -> StashColumns:
    """The mapping kept at `path`; raises `StashError` in one sentence."""
    try:
        file, _ = open_plain(path)
        with file:
            content = file.read(_MOST_JSON_BYTES + 1)
    except FileNotFoundError as error:
        raise StashError(f"“{path.name}” is not there.", "Map the columns of your list again.") from error
    except (OSError, ValueError) as error:
        raise StashError(
            f"“{path.name or path}” cannot be read ({reason(error)}).", "Check that you may open it."
        ) from error
    return columns_from_json(content, path.name)


def columns_from_json(content: bytes, name: str = "the mapping") -> StashColumns:
    """The mapping in a JSON object whose members are headings by their use; raises `StashError`."""
    remedy = "Map the columns of your list again."
    if len(content) > _MOST_JSON_BYTES:
        raise StashError(f"“{name}” is too large to be a mapping of columns.", remedy)
    try:
        members = strictjson.parse(content)
    except strictjson.NotJson as error:
        raise StashError(f"“{name}” is not a mapping of columns ({error}).", remedy) from error
    if not isinstance(members, dict):
        raise StashError(f"“{name}” is not an object that names columns.", remedy)
    for use, heading in members.items():
        if use not in USES:
            raise StashError(
                f"“{name}” maps “{use[:40]}”, which is none of {', '.join(USES)}.", "Mend its name."
            )
        if not isinstance(heading, str):
            raise StashError(f"“{name}”: the heading for {use} must be a text.", "Mend it.")
    return StashColumns(**members)

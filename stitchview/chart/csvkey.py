"""The key as a CSV table: one row a thread, and a row more for each thread blended into it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from stitchview.chart.codes import allot_codes, is_code
from stitchview.chart.colour import Colour
from stitchview.chart.entries.keymembers import USUAL_KIND
from stitchview.chart.entries.members import text_fault
from stitchview.chart.limits import MOST_BLENDED, MOST_CELL, MOST_LABEL, MOST_STRANDS, MOST_SYMBOL
from stitchview.chart.model import MOST_KEY_ENTRIES, UNTOLD, KeyEntry, Symbol, Thread
from stitchview.chart.plaintables import cell, guarded, read_rows, row_text, unguarded
from stitchview.errors import ChartError

HEADINGS = (
    "code",
    "use",
    "symbol",
    "name",
    "number",
    "kind",
    "colour",
    "strands",
    "back strands",
    "held back",
)
THREAD, BLENDED = "thread", "blended"


def key_table(key: Iterable[KeyEntry]) -> Iterator[str]:
    """The rows of the table, headings first."""
    yield row_text(HEADINGS)
    for entry in key:
        held_back = "yes" if entry.held_back else ""
        told = (entry.code, THREAD, entry.symbol.text, entry.name, entry.number, entry.kind, entry.colour.hex)
        yield _row(*told, str(entry.cross_strands), str(entry.back_strands), held_back)
        for thread in entry.blend:
            told = (entry.code, BLENDED, "", thread.name, thread.number, thread.kind, thread.colour.hex)
            yield _row(*told, str(thread.strands), "", "")


def read_key_table(path: Path) -> dict[str, KeyEntry]:
    """Key entries by what stands for them in the table of squares, which may be any short text.

    A text that can be a code stays one; the others are allotted codes. Columns may stand in any
    order and all but "code" may be missing. Raises `ChartError` naming the row.
    """
    entries: dict[str, KeyEntry] = {}
    rows = read_rows(path)
    headings = [unguarded(heading).strip().lower() for heading in next(rows, [])]
    if "code" not in headings:
        raise ChartError(
            f"“{path.name}” has no column headed “code”.", f"Head its columns: {', '.join(HEADINGS)}."
        )
    for number, cells in enumerate(rows, 2):
        told = dict(zip(headings, map(unguarded, cells), strict=False))
        try:
            _add(told, entries)
        except ValueError as error:
            raise ChartError(
                f"“{path.name}”, row {number}: {error}.", "Mend the table and read it again."
            ) from error
    return _with_codes(entries)


def plain_entry(code: str, name: str, colour: Colour = UNTOLD) -> KeyEntry:
    """A key entry of which nothing more is known, drawn as its code."""
    return KeyEntry(code=code, symbol=Symbol(code), name=name, colour=colour)


def _row(code: str, use: str, symbol: str, *told: str) -> str:
    return row_text([cell(code), cell(use), cell(guarded(symbol)), *(cell(guarded(text)) for text in told)])


def _add(told: Mapping[str, str], entries: dict[str, KeyEntry]) -> None:
    label = _text(told, "code", MOST_CELL).strip()
    if not label or label == ".":
        raise ValueError("the code is missing")
    if told.get("use", THREAD).strip().lower() == BLENDED:
        _blend(told, label, entries)
    elif label in entries:
        raise ValueError(f"the code “{label}” is there already")
    elif len(entries) == MOST_KEY_ENTRIES:
        raise ValueError(f"there are more than {MOST_KEY_ENTRIES:,} threads")
    else:
        entries[label] = _entry(told, label)


def _blend(told: Mapping[str, str], label: str, entries: dict[str, KeyEntry]) -> None:
    if label not in entries:
        raise ValueError(f"“{label}” is blended before its thread is named")
    entry = entries[label]
    if len(entry.blend) == MOST_BLENDED:
        raise ValueError(f"more than {MOST_BLENDED} threads are blended in “{label}”")
    thread = Thread(
        name=_text(told, "name") or label,
        number=_text(told, "number"),
        kind=_text(told, "kind") or USUAL_KIND,
        colour=_colour(told),
        strands=_strands(told, "strands", 1),
    )
    entries[label] = replace(entry, blend=(*entry.blend, thread))


def _entry(told: Mapping[str, str], label: str) -> KeyEntry:
    return KeyEntry(
        code=label,
        symbol=Symbol(_text(told, "symbol", MOST_SYMBOL)),
        name=_text(told, "name") or label,
        number=_text(told, "number"),
        kind=_text(told, "kind") or USUAL_KIND,
        colour=_colour(told),
        cross_strands=_strands(told, "strands", 2),
        back_strands=_strands(told, "back strands", 1),
        held_back=_truth(told, "held back"),
    )


def _text(told: Mapping[str, str], heading: str, most: int = MOST_LABEL) -> str:
    text = told.get(heading, "")
    if fault := text_fault(text, most):
        raise ValueError(f"the {heading} {fault}")
    return text


def _colour(told: Mapping[str, str]) -> Colour:
    text = told.get("colour", "").strip()
    if not text:
        return UNTOLD
    try:
        return Colour.from_hex(text)
    except ValueError:
        raise ValueError(f"the colour must be written as #RRGGBB, not “{text[:40]}”") from None


def _strands(told: Mapping[str, str], heading: str, default: int) -> int:
    text = told.get(heading, "").strip()
    if not text:
        return default
    if text.isascii() and text.isdigit() and len(text) < 5 and 1 <= int(text) <= MOST_STRANDS:
        return int(text)
    raise ValueError(f"the {heading} must be a whole number from 1 to {MOST_STRANDS}, not “{text[:40]}”")


def _truth(told: Mapping[str, str], heading: str) -> bool:
    text = told.get(heading, "").strip().lower()
    if text in ("", "no", "false", "0"):
        return False
    if text in ("yes", "true", "1"):
        return True
    raise ValueError(f"“{heading}” must be yes or no, not “{text[:40]}”")


def _with_codes(entries: dict[str, KeyEntry]) -> dict[str, KeyEntry]:
    if lone := next((label for label, entry in entries.items() if len(entry.blend) == 1), None):
        raise ChartError(f"The key blends only one thread in “{lone}”.", "A blend names two or more.")
    codes = codes_for(tuple(entries))
    return {
        label: replace(entry, code=code, symbol=Symbol(entry.symbol.text or code))
        for (label, entry), code in zip(entries.items(), codes, strict=True)
    }


def codes_for(labels: Sequence[str]) -> tuple[str, ...]:
    """A code for each label: the label itself where it can be one, else the next that is free."""
    own = {label for label in labels if is_code(label)}
    free = iter(allot_codes(len(labels) - len(own), own))
    return tuple(label if label in own else next(free) for label in labels)

"""What can be saved from a damaged done layer, and how the damaged file is set aside."""

import contextlib
import itertools
import mmap
import os
import shutil
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from stitchview.done.addresses import check_numbers
from stitchview.done.deflated import MalformedStroke
from stitchview.done.noterows import unpacked
from stitchview.done.pages import Value, records
from stitchview.done.placing import journal_of, whole_new_layer
from stitchview.done.schema import FACT_CHART, FACT_NAME, FACT_PLACE, is_fact
from stitchview.done.strokes import StrokeRow, is_sound, numbers_of
from stitchview.safefile import sync_folder

FACTS_WORTH_SAVING = (FACT_CHART, FACT_NAME, FACT_PLACE)
MOST_BYTES_SEARCHED = 2 << 30


@dataclass(frozen=True, eq=False)
class Wreck:
    """Strokes saved from a damaged file, in the order of their ids, and the facts found beside them."""

    rows: tuple[StrokeRow, ...] = ()
    facts: dict[str, str] = field(default_factory=dict)


def read_wreck(path: Path) -> Wreck:
    """Save what can be read from the file at `path`; raises `OSError` when not even its bytes can be.

    Every page is searched; a stroke counts when its checksum fits and its stitches make sense.
    """
    rows: dict[bytes, StrokeRow] = {}
    facts: dict[str, str] = {}
    for record in _records_in(path):
        if is_sound(record):
            row = StrokeRow.of(record)
            rows[row.id] = row
        elif is_fact(record) and record[0] in FACTS_WORTH_SAVING:
            facts[str(record[0])] = str(record[1])
    return Wreck(tuple(rows[each] for each in sorted(rows) if makes_sense(rows[each])), facts)


def replace_wreck(path: Path, rows: Iterable[StrokeRow], facts: dict[str, str]) -> Path:
    """Put a fresh layer with `rows` at `path` and keep the damaged file under the name returned.

    At every moment both the damaged bytes and a layer are there under some name.
    Raises `OSError` or `sqlite3.Error`, and then leaves the damaged file where it was.
    """
    with whole_new_layer(path, facts, rows) as fresh:
        aside = _second_name(path)
        try:
            # Left behind, the journal would be played into the fresh file.
            _move_if_there(journal_of(path), journal_of(aside))
            fresh.replace(path)
        except OSError:
            with contextlib.suppress(OSError):
                _move_if_there(journal_of(aside), journal_of(path))
                aside.unlink()
            raise
    sync_folder(path.parent)
    return aside


def _move_if_there(path: Path, goal: Path) -> None:
    if path.exists():
        path.replace(goal)


def _records_in(path: Path) -> Iterator[tuple[Value, ...]]:
    size = min(path.stat().st_size, MOST_BYTES_SEARCHED)
    if size:
        with path.open("rb") as file, mmap.mmap(file.fileno(), size, access=mmap.ACCESS_READ) as content:
            yield from records(content)


def _second_name(path: Path) -> Path:
    """Give the file a second name that tells of the damage, or copy it where that cannot be done."""
    for number in itertools.count(1):
        told = f"{path.stem}.damaged-{date.today().isoformat()}{'' if number == 1 else f'-{number}'}"
        aside = path.with_name(told + path.suffix)
        try:
            os.link(path, aside)
        except FileExistsError:
            continue
        except OSError:
            if aside.exists():
                continue
            _copy(path, aside)
        return aside
    raise AssertionError("there is always another number")


def _copy(path: Path, aside: Path) -> None:
    try:
        with path.open("rb") as source, aside.open("xb") as goal:
            shutil.copyfileobj(source, goal)
            goal.flush()
            os.fsync(goal.fileno())
    except OSError:
        aside.unlink(missing_ok=True)
        raise


def makes_sense(row: StrokeRow) -> bool:
    """Whether some change can have written the stitches and notes of a row."""
    try:
        check_numbers(numbers_of(row))
        unpacked(row.notes, (0, 0))
    except MalformedStroke:
        return False
    return True

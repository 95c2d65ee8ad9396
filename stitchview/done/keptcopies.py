"""Dated copies of a done layer in the user's own data folder: kept sparsely, listed, thinned out."""

import contextlib
import hashlib
import os
import re
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from stitchview.done.ids import LATEST_MS, now_ms
from stitchview.done.looking import look_into
from stitchview.done.ownfolder import own_layers_folder
from stitchview.done.schema import ENDING, check_structure, connect, format_of, read_outline
from stitchview.done.sittings import moment, sittings_of
from stitchview.done.thinning import Dated, Measure, worth_keeping
from stitchview.done.timeline import digest_of
from stitchview.safefile import sweep_stale, sync_folder, temporary_beside

FOLDER = "copies"
STAMP = "%Y-%m-%dT%H-%M-%SZ"
NAMED = re.compile(
    r"(?P<number>\d{6}) (?P<stamp>\d{4}-\d\d-\d\dT\d\d-\d\d-\d\dZ)"
    r" (?P<strokes>\d+) strokes (?P<digest>[0-9a-f]{8})" + re.escape(ENDING)
)


@dataclass(frozen=True, slots=True)
class KeptCopy:
    """One copy: its `number`, which rises from copy to copy, when it was `made`, and how much is in it."""

    path: Path
    number: int
    made: datetime
    strokes: int
    digest: str
    bytes: int


def copies_folder(layer: Path, identity: str, own_folder: Path | None = None) -> Path:
    """Where copies of a piece's layer are kept: told by the chart's identity, or by the layer's place."""
    told = hashlib.sha256((identity or str(layer.absolute())).encode("utf-8", "surrogatepass")).hexdigest()
    return (own_folder or own_layers_folder()) / FOLDER / told[:24]


def kept_copies(folder: Path) -> tuple[KeptCopy, ...]:
    """The copies in a folder, the newest first; empty where there is none. Nothing is opened."""
    found = []
    with contextlib.suppress(OSError):
        for path in folder.iterdir():
            match = NAMED.fullmatch(path.name)
            with contextlib.suppress(OSError, ValueError):
                if match:
                    made = datetime.strptime(match["stamp"], STAMP).replace(tzinfo=UTC)
                    number, strokes = int(match["number"]), int(match["strokes"])
                    size = path.stat().st_size
                    found.append(KeptCopy(path, number, made, strokes, match["digest"], size))
    return tuple(sorted(found, key=lambda copy: copy.number, reverse=True))


def keep_copy(
    layer: Path, folder: Path, measure: Measure | None = None, thin: bool = True
) -> KeptCopy | None:
    """Keep a copy of the sound layer at `layer`; None if it has no strokes, or just these are kept already.

    The copy of an earlier moment of the same sitting goes, and others are thinned out, but never one
    with a stroke that the layer has not (none at all without `thin`). It is copied through SQLite's
    backup, so that it may be written meanwhile.
    Raises `OSError`, `sqlite3.Error` or `DamagedLayer`; then all copies are as they were.
    """
    folder.mkdir(parents=True, exist_ok=True)
    sweep_stale(folder)
    earlier = kept_copies(folder)
    fresh = temporary_beside(folder / layer.name)
    try:
        ids = _copied(layer, fresh)
        digest = digest_of(ids).hex()[:8]
        if not ids or (earlier and (earlier[0].digest, earlier[0].strokes) == (digest, len(ids))):
            return None
        number = 1 + (earlier[0].number if earlier else 0)
        made = moment(min(now_ms(), LATEST_MS >> 1), UTC)
        path = folder / f"{number:06} {made.strftime(STAMP)} {len(ids)} strokes {digest}{ENDING}"
        size = fresh.stat().st_size
        fresh.rename(path)
        sync_folder(folder)
    finally:
        with contextlib.suppress(OSError):
            fresh.unlink(missing_ok=True)
    kept = KeptCopy(path, number, made.replace(microsecond=0), len(ids), digest, size)
    if thin:
        _thin((kept, *earlier), ids, measure)
    return kept


def _copied(layer: Path, fresh: Path) -> list[bytes]:
    """Copy a layer through SQLite, and give the ids of its strokes; raises as `keep_copy`."""
    with (
        contextlib.closing(connect(layer, read_only=True)) as source,
        contextlib.closing(sqlite3.connect(fresh)) as goal,
    ):
        source.backup(goal)
    with contextlib.closing(connect(fresh)) as copy:
        format_of(copy)
        check_structure(copy)
        ids = [row.id for row in read_outline(copy)]
    handle = os.open(fresh, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
    return ids


def _thin(copies: tuple[KeptCopy, ...], ids: list[bytes], measure: Measure | None) -> None:
    """Remove copies that are not worth keeping and hold nothing that the layer's `ids` lack."""
    dated = [Dated(copy.number, copy.made.astimezone().date(), copy.bytes) for copy in copies]
    worth = worth_keeping(dated, measure)
    doomed = [copy for copy in copies[1:] if copy.number not in worth]
    if len(copies) > 1 and copies[1] not in doomed and _same_sitting(copies[1], ids):
        doomed.append(copies[1])
    known = set(ids)
    for copy in doomed:
        with contextlib.suppress(OSError):
            if look_into(copy.path).ids <= known:
                copy.path.unlink()


def _same_sitting(copy: KeptCopy, ids: Iterable[bytes]) -> bool:
    newest = max(look_into(copy.path).ids, default=b"")
    return newest >= sittings_of(sorted(ids))[-1].first

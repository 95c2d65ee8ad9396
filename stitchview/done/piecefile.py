"""Everything of one piece as one file, to be taken along or put away: its chart and what is done of it."""

import contextlib
import json
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from stitchview.chart.containers.entrynames import MIMETYPE_ENTRY, is_hidden, name_fault
from stitchview.chart.containers.zipentries import read_zip, write_zip
from stitchview.chart.fileformat import SUFFIX, read_chart, write_chart
from stitchview.chart.inputfile import open_plain, read_plain, reason
from stitchview.chart.limits import (
    MEBIBYTE,
    MOST_FILE_BYTES,
    MOST_MIMETYPE_BYTES,
    MOST_OTHER_BYTES,
    MOST_PICTURE_BYTES,
)
from stitchview.chart.problems import Findings
from stitchview.done.deflated import MalformedStroke
from stitchview.done.joining import Piece
from stitchview.done.keptcopies import copies_folder, keep_copy
from stitchview.done.looking import Owner, Seen, look_into
from stitchview.done.noterows import notes_after
from stitchview.done.photographs import FOLDER_ENDING, KINDS, find_photo
from stitchview.done.restoring import copies_kept_of, layer_of
from stitchview.done.schema import ENDING, connect
from stitchview.done.shelf import MOST_NAME_BYTES, Condition
from stitchview.done.timeline import timeline_of
from stitchview.done.troubles import DamagedLayer, in_words
from stitchview.errors import ChartError, LayerError
from stitchview.safefile import TEMPORARY_MARK, replacing, replacing_all, sync_folder, unwritable

PIECE_ENDING = ".svpiece"
MEDIA_TYPE = b"application/x.stitchview.piece+zip"
FORMAT = 1
PIECE, CHART, DONE, KEPT = "piece.json", "chart.svchart", "done.svdone", "kept.svdone"
PHOTOGRAPHS = "photographs/"
CAPS = {
    MIMETYPE_ENTRY: MOST_MIMETYPE_BYTES,
    PIECE: MEBIBYTE,
    CHART: MOST_FILE_BYTES,
    DONE: MOST_FILE_BYTES,
    KEPT: MOST_FILE_BYTES,
    "": MOST_PICTURE_BYTES,
}


@dataclass(frozen=True, slots=True)
class Packed:
    """What was packed: how many strokes and photographs, and which photographs were not there to pack."""

    strokes: int
    photos: int = 0
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Unpacked:
    """What was unpacked: the chart, its layer if there was one, how many strokes can be read, photographs."""

    chart: Path
    layer: Path | None
    strokes: int
    photos: int = 0


def pack(piece: Piece, target: Path) -> Packed:
    """Write the piece as one file.

    The layer goes in as it is, even damaged, the newest kept copy of it, and every photograph of the cloth
    that is there. Raises `StitchviewError` in one sentence; what was at `target` is then still whole.
    """
    if target.suffix != PIECE_ENDING:
        raise LayerError(f"“{target.name}” has not the ending of a packed piece.", f"Add {PIECE_ENDING}.")
    layer, copies = layer_of(piece), copies_kept_of(piece)
    entries = {MIMETYPE_ENTRY: MEDIA_TYPE, PIECE: _described(piece)}
    strokes, photos, missing = 0, dict[str, bytes](), tuple[str, ...]()
    try:
        with tempfile.TemporaryDirectory(prefix="stitchview-pack-") as folder:
            entries[CHART] = _chart_bytes(piece, Path(folder))
            if layer.exists():
                entries[DONE] = _whole(layer, Path(folder))
                seen = look_into(layer)
                strokes, (photos, missing) = len(seen.rows), _photographs(piece, seen)
            if copies:
                entries[KEPT] = _whole(copies[0].path, Path(folder))
    except (sqlite3.Error, OSError) as error:
        raise in_words(layer, error) from error
    if sum(map(len, photos.values())) > MOST_OTHER_BYTES:
        size = f"{MOST_OTHER_BYTES // MEBIBYTE:,} MB"
        remedy = "Take some out of the folder beside the chart first, and copy them by themselves."
        raise LayerError(f"The photographs of the piece have more than {size} together.", remedy)
    entries |= photos
    if sum(map(len, entries.values())) > MOST_FILE_BYTES:
        raise LayerError(f"The piece has more than {MOST_FILE_BYTES:,} bytes.", "Copy its files one by one.")
    with replacing(target) as file:
        write_zip(file, entries)
    return Packed(strokes, len(photos), missing)


def unpack(source: Path, folder: Path, own_folder: Path | None = None) -> Unpacked:
    """Put the chart and the layer of a packed piece into `folder`, never over what is there.

    Hostile and damaged files are refused as those of charts are; a damaged layer comes out as it is,
    to be mended when its chart is opened. Raises `StitchviewError` in one sentence; then nothing is new.
    """
    entries = _entries(source)
    if folder.exists() and not folder.is_dir():
        raise LayerError(f"“{folder.name}” is a file, not a folder.", "Choose another folder.")
    name = _name_in(entries[PIECE], source)
    places = {CHART: folder / f"{name}{SUFFIX}", DONE: folder / f"{name}{ENDING}"}
    photos = _photos_in(entries, folder / f"{name}{FOLDER_ENDING}")
    for place in (*places.values(), *photos):
        if place.exists() or place.is_symlink():
            raise LayerError(f"“{place.name}” is there already.", "Choose an empty folder.")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=f".piece{TEMPORARY_MARK}", dir=folder) as staged:
            for entry in (CHART, DONE, KEPT):
                if entry in entries:
                    _write(Path(staged) / entry, entries[entry])
            chart = read_chart(Path(staged) / CHART)
            strokes = _checked_strokes(Path(staged), Owner(chart.identity, name), source)
            with contextlib.suppress(OSError, sqlite3.Error, DamagedLayer):
                keep_copy(Path(staged) / KEPT, copies_folder(places[DONE], chart.identity, own_folder))
            _place_all(Path(staged), places, photos)
    except OSError as error:
        raise unwritable(places[CHART], error) from error
    return Unpacked(places[CHART], places[DONE] if DONE in entries else None, strokes, len(photos))


def _photographs(piece: Piece, seen: Seen) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """The photographs that the notes tell of, by entry, and the names of those that are not there."""
    entries, missing = dict[str, bytes](), list[str]()
    # Notes that cannot be read tell of no photographs; the layer itself goes in as it is.
    with contextlib.suppress(MalformedStroke):
        rows = sorted(seen.rows, key=lambda row: row.id)
        for photo in notes_after(timeline_of(rows).notes, piece.chart.origin).photos:
            found = find_photo(piece, photo)
            if found.path is None or name_fault(PHOTOGRAPHS + photo.file) or is_hidden(photo.file):
                missing.append(photo.file)
            else:
                entries[PHOTOGRAPHS + photo.file] = read_plain(found.path, MOST_PICTURE_BYTES)
    return entries, tuple(missing)


def _described(piece: Piece) -> bytes:
    made = datetime.now(UTC).isoformat(timespec="seconds")
    name = piece.owner.name.encode("utf-8", "replace").decode()
    return json.dumps({"format": FORMAT, "name": name, "made": made}, indent=2).encode()


def _chart_bytes(piece: Piece, folder: Path) -> bytes:
    if piece.path.is_dir():
        write_chart(piece.chart.printed, folder / CHART)
        return (folder / CHART).read_bytes()
    return piece.path.read_bytes()


def _whole(layer: Path, folder: Path) -> bytes:
    """The bytes of a layer that may be written meanwhile; those of one that is damaged as they are."""
    copy = folder / "copy"
    copy.unlink(missing_ok=True)
    if look_into(layer).condition not in (Condition.GOOD, Condition.NEWER):
        return layer.read_bytes()
    with (
        contextlib.closing(connect(layer, read_only=True)) as source,
        contextlib.closing(sqlite3.connect(copy)) as goal,
    ):
        source.backup(goal)
    return copy.read_bytes()


def _entries(source: Path) -> Mapping[str, bytes]:
    findings = Findings(source.name or str(source))
    stranger = findings.name, "is not a packed piece", f"Choose a file that ends in {PIECE_ENDING}."
    try:
        file, size = open_plain(source)
        with file:
            if file.read(2) != b"PK":
                raise ChartError(f"“{stranger[0]}” {stranger[1]}.", stranger[2])
            entries = read_zip(file, size, CAPS, findings)
    except FileNotFoundError as error:
        raise ChartError(f"“{findings.name}” is not there.", "Check the name and the folder.") from error
    except (OSError, ValueError) as error:
        raise ChartError(
            f"“{findings.name}” cannot be read ({reason(error)}).", "Check that you may open it."
        ) from error
    if entries.get(MIMETYPE_ENTRY) != MEDIA_TYPE or PIECE not in entries or CHART not in entries:
        raise findings.stop(stranger[1], remedy=stranger[2])
    return entries


def _name_in(description: bytes, source: Path) -> str:
    """The name that chart and layer get; raises `ChartError` unless it is a plain one of a format we know."""
    told: Any = None
    with contextlib.suppress(ValueError, RecursionError):
        told = json.loads(description)
    form, name = (told.get("format"), told.get("name")) if isinstance(told, dict) else (None, None)
    if isinstance(form, int) and form > FORMAT:
        raise ChartError(f"“{source.name}” was packed by a newer stitchview.", "Update stitchview first.")
    plain = isinstance(name, str) and not name_fault(name) and "/" not in name and not is_hidden(name)
    if form != FORMAT or not plain or len(str(name).encode()) > MOST_NAME_BYTES:
        raise ChartError(f"“{source.name}” is damaged: it does not say what it holds.", "Use another copy.")
    return str(name)


def _checked_strokes(staged: Path, owner: Owner, source: Path) -> int:
    if not (staged / DONE).exists():
        return 0
    seen = look_into(staged / DONE)
    if seen.facts and not owner.may_own(seen):
        raise LayerError(f"“{source.name}” holds the marks of another chart.", "Use another copy of it.")
    return len(seen.rows)


def _write(path: Path, content: bytes) -> None:
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _photos_in(entries: Mapping[str, bytes], folder: Path) -> dict[Path, bytes]:
    """The photographs of a packed piece by where they go; entries of other kinds are passed over."""
    endings = tuple(f".{ending}" for ending in KINDS.values())
    names = [each for each in entries if each.startswith(PHOTOGRAPHS) and each.count("/") == 1]
    return {
        folder / each.removeprefix(PHOTOGRAPHS): entries[each]
        for each in names
        if each.lower().endswith(endings)
    }


def _place_all(staged: Path, places: Mapping[str, Path], photos: Mapping[Path, bytes]) -> None:
    if photos:
        replacing_all(photos)
    try:
        _place(staged, places)
    except BaseException:
        for path in photos:
            path.unlink(missing_ok=True)
        for emptied in {path.parent for path in photos}:
            with contextlib.suppress(OSError):
                emptied.rmdir()
        raise


def _place(staged: Path, places: Mapping[str, Path]) -> None:
    """Give what is staged its names, the chart last; what cannot be finished is taken back."""
    placed: list[Path] = []
    try:
        for entry in (DONE, CHART):
            if (staged / entry).exists():
                with places[entry].open("xb") as file:
                    placed.append(places[entry])
                    with (staged / entry).open("rb") as content:
                        shutil.copyfileobj(content, file)
                    file.flush()
                    os.fsync(file.fileno())
    except BaseException:
        for path in placed:
            path.unlink(missing_ok=True)
        raise
    sync_folder(places[CHART].parent)

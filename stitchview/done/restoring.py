"""Bring back the marks of a kept copy in the place of those there are, which are kept first."""

import contextlib
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from stitchview.done.joining import Piece
from stitchview.done.keptcopies import KeptCopy, copies_folder, keep_copy, kept_copies
from stitchview.done.looking import Seen, look_into, refuse_unreadable
from stitchview.done.placing import create_layer
from stitchview.done.schema import (
    FACT_CHART,
    FACT_FORMAT,
    FACT_NAME,
    FACT_PLACE,
    connect,
    insert_rows,
    keep_facts,
    transaction,
)
from stitchview.done.shelf import Condition
from stitchview.done.troubles import DamagedLayer, in_words
from stitchview.done.wreck import replace_wreck
from stitchview.errors import LayerError


@dataclass(frozen=True, slots=True)
class Restored:
    """What came of it: the `layer` has so many `strokes` again; what was there is `kept` or set `aside`."""

    layer: Path
    strokes: int
    kept: KeptCopy | None = None
    aside: Path | None = None


def layer_of(piece: Piece) -> Path:
    """Where the piece's layer lies, or where it would be begun."""
    found = [shelf.look(piece.chart.identity, read_only=True) for shelf in piece.shelves]
    there = [each.path for each in found if each is not None]
    return there[0] if there else next(piece.shelves[0].places())


def copies_kept_of(piece: Piece) -> tuple[KeptCopy, ...]:
    """The copies that are kept of the piece's layer, the newest first."""
    return kept_copies(copies_folder(layer_of(piece), piece.chart.identity))


def lost_marks(piece: Piece) -> KeptCopy | None:
    """The newest copy of a piece of which no layer is there any more, for the window to offer; else None.

    To be asked before the chart is opened: opening begins a fresh layer.
    """
    if any(shelf.look(piece.chart.identity, read_only=True) for shelf in piece.shelves):
        return None
    return next(iter(copies_kept_of(piece)), None)


def restore(piece: Piece, number: int) -> Restored:
    """Make the piece's layer hold just the strokes of copy `number`.

    The present layer is kept as a copy first, or set aside under another name where it is damaged.
    A window that has the chart open sees the marks of the copy within a second. Raises `LayerError`
    in one sentence; then the layer is as it was.
    """
    layer = layer_of(piece)
    folder = copies_folder(layer, piece.chart.identity)
    chosen = next((copy for copy in kept_copies(folder) if copy.number == number), None)
    if chosen is None:
        raise LayerError(f"There is no copy {number}.", "Choose one of those that are listed.")
    copy = look_into(chosen.path)
    refuse_unreadable(copy)
    try:
        return _restored(piece, layer, folder, copy)
    except DamagedLayer as error:
        raise LayerError(f"“{layer.name}” is damaged.", "Open its chart: it is mended then.") from error
    except (sqlite3.Error, OSError) as error:
        raise in_words(layer, error) from error


def _restored(piece: Piece, layer: Path, folder: Path, copy: Seen) -> Restored:
    facts = {**copy.facts, FACT_CHART: piece.chart.identity, FACT_NAME: piece.owner.name}
    facts.pop(FACT_FORMAT, None)
    present = look_into(layer) if layer.exists() else None
    if present is not None and present.condition is Condition.EMPTY:
        layer.unlink()
        present = None
    if present is None:
        create_layer(layer, facts, copy.rows)
        return Restored(layer, len(copy.rows))
    if present.damaged:
        return Restored(layer, len(copy.rows), aside=replace_wreck(layer, copy.rows, facts))
    refuse_unreadable(present)
    with contextlib.closing(connect(layer)) as connection, transaction(connection):
        # Nobody else can write from here on, so nothing comes between what is kept and what is replaced.
        kept = keep_copy(layer, folder, thin=False)
        connection.execute("DELETE FROM strokes")
        connection.execute("DELETE FROM snapshot")
        insert_rows(connection, copy.rows)
        if FACT_PLACE in facts:
            keep_facts(connection, {FACT_PLACE: facts[FACT_PLACE]})
    return Restored(layer, len(copy.rows), kept)

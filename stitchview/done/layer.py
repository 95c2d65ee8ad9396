"""One open done layer: what waits to be kept, what is kept, and strokes read back from it."""

import contextlib
import json
import sqlite3
import threading
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from stitchview.chart.model import Chart
from stitchview.done.addresses import Addresses
from stitchview.done.change import Change
from stitchview.done.deflated import MalformedStroke
from stitchview.done.marks import Marks, change_between, noting
from stitchview.done.notebook import Notes
from stitchview.done.noterows import unpacked
from stitchview.done.placing import create_layer
from stitchview.done.schema import (
    FACT_CHART,
    FACT_PLACE,
    check_structure,
    connect,
    data_version,
    insert_rows,
    keep_facts,
    read_facts,
    read_noted_rows,
    read_outline,
    read_row,
    read_rows,
    transaction,
)
from stitchview.done.snapshot import read_snapshot, write_snapshot
from stitchview.done.strokes import Stroke, StrokeRow, numbers_of, row_of
from stitchview.done.timeline import Arrays, Replay, Timeline, timeline_of
from stitchview.done.troubles import MOVED, DamagedLayer, in_words, name_of, no_memory, replaced
from stitchview.errors import LayerError


class Layer:
    """A done layer that is open for `chart`; any thread may call, one at a time gets at the file.

    `path` is None for a layer in memory, whose strokes are never on disk (`keeps` is False).
    """

    def __init__(self, connection: sqlite3.Connection, path: Path | None, chart: Chart) -> None:
        self.path = path
        self._connection, self._chart, self._addresses = connection, chart, Addresses(chart)
        self._connection_lock, self._waiting_lock = threading.RLock(), threading.Lock()
        self._waiting: dict[bytes, Stroke] = {}
        self._place: str | None = None
        self._heard = data_version(connection)

    @property
    def keeps(self) -> bool:
        """Whether what is committed is on disk."""
        return self.path is not None

    @property
    def waiting(self) -> int:
        """How many strokes are not committed yet."""
        with self._waiting_lock:
            return len(self._waiting)

    def put(self, stroke: Stroke) -> None:
        """Let a stroke wait for the next commit."""
        with self._waiting_lock:
            self._waiting[stroke.id] = stroke

    def put_place(self, place: dict[str, Any]) -> None:
        """Let the place to resume at, a JSON object, wait for the next commit."""
        text = json.dumps(place, allow_nan=False)
        with self._waiting_lock:
            self._place = text

    def commit(self) -> tuple[bytes, ...]:
        """Write all that waits in one transaction, and give the ids of the strokes that are on disk now.

        Raises `LayerError` in plain words; then everything goes on waiting.
        """
        with self._waiting_lock:
            strokes, place = tuple(self._waiting.values()), self._place
        if strokes or place is not None:
            self._write(strokes, {} if place is None else {FACT_PLACE: place})
        with self._waiting_lock:
            for stroke in strokes:
                del self._waiting[stroke.id]
            if self._place is place:
                self._place = None
        return tuple(stroke.id for stroke in strokes)

    def load(self, stroke_id: bytes) -> Change:
        """The change that a stroke made, on this chart; raises `LayerError` when it cannot be read."""
        with self._waiting_lock:
            stroke = self._waiting.get(stroke_id)
        if stroke is not None and stroke.change is not None:
            return stroke.change
        with self._reading():
            with self._connection_lock:
                row = read_row(self._connection, stroke_id)
            change = self._addresses.change_of(numbers_of(row))
            return noting(self._chart, unpacked(row.notes, self._addresses.origin), change)

    def read(self, live: Sequence[bytes]) -> Arrays:
        """The states that the `live` strokes lead to, from the snapshot on if it still holds.

        Raises `DamagedLayer` or `MalformedStroke` where a stroke cannot be read.
        """
        with self._connection_lock, self._waiting_lock:
            start = read_snapshot(self._connection, self._chart, live)
            replay = Replay(self._chart, self._addresses, None if start is None else start.states)
            done = 0 if start is None else start.strokes
            missing = set(live[done:])
            for row in read_rows(self._connection, live[done - 1] if done else b""):
                if row.id in missing:
                    replay.add(row)
                    missing.remove(row.id)
            for stroke_id in sorted(missing & self._waiting.keys()):
                replay.add(row_of(self._waiting[stroke_id], self._addresses))
        return replay.finish()

    def read_notes(self, live: Sequence[bytes]) -> Notes:
        """The notes that the `live` strokes lead to; raises `DamagedLayer` or `MalformedStroke`."""
        with self._connection_lock, self._waiting_lock:
            found = {
                row.id: unpacked(row.notes, self._addresses.origin)
                for row in read_noted_rows(self._connection)
            }
            for stroke in self._waiting.values():
                if stroke.change is not None:
                    found[stroke.id] = stroke.change.notes
        return Notes().after_all(found[each] for each in sorted(live) if each in found)

    def heard(self) -> bool:
        """Whether another window has written to the file since it was asked last; waits for nothing."""
        if self.path is None or not self._connection_lock.acquire(blocking=False):
            return False
        try:
            version = data_version(self._connection)
        except (sqlite3.Error, OSError):
            # Busy or gone for a moment: asked again soon, and writing tells what is really wrong.
            return False
        finally:
            self._connection_lock.release()
        heard, self._heard = version != self._heard, version
        return heard

    def outline(self) -> Timeline:
        """All strokes there are now, those of other windows and those that wait too; raises `LayerError`."""
        with self._reading():
            with self._connection_lock, self._waiting_lock:
                rows = {row.id: row for row in read_outline(self._connection)}
                for each in self._waiting.values():
                    rows[each.id] = row_of(each, self._addresses)
            return timeline_of(rows[each] for each in sorted(rows))

    def rows(self) -> list[StrokeRow]:
        """All strokes in the order of their ids, those that wait too; raises `LayerError`."""
        with self._reading():
            with self._connection_lock, self._waiting_lock:
                found = {row.id: row for row in read_rows(self._connection)}
                found |= {each.id: row_of(each, self._addresses) for each in self._waiting.values()}
            return [found[each] for each in sorted(found)]

    def settle(self, marks: Marks, live: Sequence[bytes]) -> Change:
        """What alters when just the `live` strokes hold; raises `LayerError` if one cannot be read."""
        with self._reading():
            return change_between(marks, self.read(live), self.read_notes(live))

    def keep_snapshot(self, marks: Marks, live: Sequence[bytes]) -> None:
        """Keep the state that the `live` strokes have led to, so that the next opening need not replay.

        It is only a cache: a failure raises `LayerError`, and nothing is lost.
        """
        try:
            with self._connection_lock:
                write_snapshot(self._connection, marks, live)
        except (sqlite3.Error, OSError) as error:
            raise in_words(Path(self._name), error) from error

    def close(self) -> None:
        """Let go of the file; what waits is lost unless it was committed."""
        with self._connection_lock:
            self._connection.close()

    @property
    def _name(self) -> str:
        return "the marks in memory" if self.path is None else str(self.path)

    @contextlib.contextmanager
    def _reading(self) -> Iterator[None]:
        """Tell in plain words what goes wrong in the block."""
        try:
            yield
        except (DamagedLayer, MalformedStroke) as error:
            raise LayerError(
                f"An earlier stroke cannot be read from “{self._name}”.",
                "Close the chart and open it again: what can be read is saved then.",
            ) from error
        except (sqlite3.Error, OSError) as error:
            raise in_words(Path(self._name), error) from error

    def _write(self, strokes: Sequence[Stroke], facts: dict[str, str]) -> None:
        try:
            rows = [row_of(stroke, self._addresses) for stroke in strokes]
            with self._connection_lock:
                try:
                    self._insert(rows, facts)
                except sqlite3.OperationalError as error:
                    if self.path is None or name_of(error) != MOVED:
                        raise
                    self._return_to(self.path)
                    self._insert(rows, facts)
        except DamagedLayer as error:
            raise replaced(Path(self._name), len(strokes)) from error
        except (sqlite3.Error, OSError) as error:
            raise in_words(Path(self._name), error, len(strokes)) from error
        except MemoryError as error:
            raise no_memory(len(strokes)) from error

    def _insert(self, rows: Sequence[Any], facts: dict[str, str]) -> None:
        with transaction(self._connection):
            insert_rows(self._connection, rows)
            keep_facts(self._connection, facts)

    def _return_to(self, path: Path) -> None:
        """Bring all strokes back to `path`, from which the file was taken away while it was open."""
        if not path.exists():
            create_layer(path, read_facts(self._connection), read_rows(self._connection))
        found = connect(path)
        try:
            check_structure(found)
            if read_facts(found).get(FACT_CHART) != read_facts(self._connection).get(FACT_CHART):
                raise DamagedLayer("it belongs to another chart")
            with transaction(found):
                insert_rows(found, read_rows(self._connection))
        except BaseException:
            found.close()
            raise
        self._connection.close()
        self._connection = found

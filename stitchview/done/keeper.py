"""Keep strokes on disk from a thread of its own, so that no hand waits for the disk."""

import contextlib
import sqlite3
import threading
import time
from collections.abc import Callable
from typing import Any

from stitchview.done.keptcopies import copies_folder, keep_copy
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.strokes import Stroke
from stitchview.done.troubles import DamagedLayer, copy_trouble, strokes
from stitchview.errors import LayerError

PLACE_REST_SECONDS = 1.0
"""How long a new place may wait for company before it is written by itself."""
RETRY_SECONDS = 5.0


class Keeper:
    """Commits what is put, several strokes in one transaction when they come fast.

    `kept` gets the ids of strokes once they are on disk, never before (and never for a layer in
    memory), and no ids when only a trouble is over. `failed` gets what went wrong; then the strokes
    wait for the next `put`, for some seconds to pass, or for `close`. Both are called on the
    keeper's thread.
    """

    def __init__(
        self,
        opened: OpenedLayer,
        kept: Callable[[tuple[bytes, ...]], None],
        failed: Callable[[LayerError], None],
    ) -> None:
        self._opened, self._layer = opened, opened.layer
        self._kept, self._failed = kept, failed
        self._changed = threading.Condition()
        self._due: float | None = None
        self._busy = self._closing = self._has_kept = False
        self._commits = 0
        self._trouble: LayerError | None = None
        self.copy_trouble = ""
        """Why no dated copy could be kept at closing, as a sentence."""
        self._thread = threading.Thread(target=self._work, name="stitchview keeper", daemon=True)
        self._thread.start()

    def put(self, stroke: Stroke) -> None:
        """Have a stroke kept; returns at once."""
        self._layer.put(stroke)
        with self._changed:
            self._wake_in(0)

    def keep_place(self, place: dict[str, Any]) -> None:
        """Have the place to resume at kept, a JSON object; it is written soon after, or with a stroke."""
        self._layer.put_place(place)
        with self._changed:
            self._wake_in(PLACE_REST_SECONDS)

    def flush(self, timeout: float = 10.0) -> bool:
        """Wait until all that was put is committed; False if that failed or took too long."""
        with self._changed:
            if not self._thread.is_alive():
                return self._layer.waiting == 0
            # A commit that is under way may have begun without the last strokes: only the next one counts.
            wanted = self._commits + 1
            self._wake_in(0)
            self._changed.wait_for(
                lambda: self._ended >= wanted and (self._trouble is not None or self._rests), timeout
            )
            return self._ended >= wanted and self._trouble is None and self._rests

    def close(self, timeout: float = 30.0) -> LayerError | None:
        """Commit what waits, keep a snapshot for a fast opening and a dated copy, let go of the file.

        Gives what went wrong if the last could not be kept. Nothing may be put afterwards.
        """
        with self._changed:
            self._closing = True
            self._wake_in(0)
        self._thread.join(timeout)
        if self._thread.is_alive():
            return LayerError("The disk does not answer.", "Some of the last strokes may not be kept.")
        if self._trouble is None and (waiting := self._layer.waiting):
            # The thread ended by a fault of ours, which was told when it happened.
            return LayerError(f"Keeping has stopped; {strokes(waiting)} not kept.", "Mark them again.")
        return self._trouble

    @property
    def _ended(self) -> int:
        """How many commits have been tried to their end."""
        return self._commits - self._busy

    @property
    def _rests(self) -> bool:
        return self._due is None and not self._busy

    def _wake_in(self, seconds: float) -> None:
        due = time.monotonic() + seconds
        self._due = due if self._due is None else min(self._due, due)
        self._changed.notify_all()

    def _work(self) -> None:
        while not self._wait():
            self._commit()
        self._commit()
        if self._trouble is None:
            # The snapshot is a cache: without it the next opening takes a little longer.
            with contextlib.suppress(LayerError):
                self._layer.keep_snapshot(self._opened.marks, self._opened.history.live)
        path, chart = self._layer.path, self._opened.marks.chart
        if path is not None and self._has_kept:
            # A second safety: where no copy can be kept, the layer itself is safe all the same.
            try:
                keep_copy(path, copies_folder(path, chart.identity))
            except (OSError, sqlite3.Error, DamagedLayer) as error:
                self.copy_trouble = copy_trouble(path, error)
        self._layer.close()

    def _wait(self) -> bool:
        """Wait until something is due; True when it is time to close."""
        with self._changed:
            while self._due is None or (left := self._due - time.monotonic()) > 0:
                self._changed.wait(None if self._due is None else left)
            self._due, self._busy = None, True
            self._commits += 1
            return self._closing

    def _commit(self) -> None:
        trouble: LayerError | None = None
        try:
            ids = self._layer.commit()
            self._has_kept |= bool(ids)
            if self._layer.keeps and (ids or self._trouble is not None):
                self._kept(ids)
        except LayerError as error:
            trouble = error
            self._failed(error)
        with self._changed:
            self._trouble, self._busy = trouble, False
            if trouble is not None:
                self._wake_in(RETRY_SECONDS)
            self._changed.notify_all()

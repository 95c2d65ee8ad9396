"""Find the file that keeps a chart's strokes, and mend it, carry it over or make it as needed."""

import contextlib
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from stitchview.done import notices
from stitchview.done.placing import can_write, create_layer
from stitchview.done.schema import (
    FACT_CHART,
    FACT_MADE,
    FACT_NAME,
    FACT_PLACE,
    connect,
    insert_rows,
    keep_facts,
    lay_out,
    read_row,
    read_rows,
    transaction,
)
from stitchview.done.shelf import Condition, Finding, Shelf, examine
from stitchview.done.strokes import StrokeRow
from stitchview.done.timeline import Timeline
from stitchview.done.troubles import DamagedLayer, said_by
from stitchview.done.wreck import makes_sense, read_wreck, replace_wreck
from stitchview.safefile import sweep_stale

Trouble = (OSError, sqlite3.Error)


@dataclass(frozen=True, eq=False)
class Berth:
    """Where strokes go: an open connection and its `path`, None when they are in memory only.

    `timeline` has gone through its strokes, unless it is None.
    """

    connection: sqlite3.Connection
    path: Path | None
    timeline: Timeline | None = None


@dataclass(eq=False)
class Search:
    """The search for one chart's layer on two `shelves`: beside the chart, and elsewhere.

    `notices` gathers the sentences for the window; `place` is the place to resume at, which goes along
    wherever the strokes go. With `look_only` nothing on disk is touched.
    """

    chart_path: Path
    identity: str
    shelves: tuple[Shelf, Shelf]
    look_only: bool = False
    notices: list[str] = field(default_factory=list)
    place: str = ""
    _looked_at: set[Path] = field(default_factory=set)

    def berth(self) -> Berth:
        """Find, mend or make the layer.

        Raises `OSError` or `sqlite3.Error` only when what was just read cannot be read again.
        """
        if not self.look_only:
            for shelf in self.shelves:
                sweep_stale(shelf.folder)
        # Noted before looking, so that what comes meanwhile is never taken for something seen.
        self._looked_at = {path for shelf in self.shelves for path in shelf.taken_places()}
        found = [each for shelf in self.shelves if (each := shelf.look(self.identity, self.look_only))]
        for finding in found:
            if finding.condition in (Condition.NEWER, Condition.IN_USE):
                return self._left_alone(finding)
        usable = [each for finding in found if (each := self._usable(finding))]
        if not usable:
            return self._in_memory(()) if self.look_only else self._begun((), self._open_shelves(found))
        best = max(usable, key=self._rank)
        others = [each for each in usable if each is not best and not _holds(best, each)]
        self.place = best.facts.get(FACT_PLACE, "")
        if self.look_only:
            return self._in_memory(_rows(best, *others))
        if best.condition is Condition.GOOD and can_write(best.path):
            return self._taken(best, others)
        return self._carried_over(best, usable)

    def _open_shelves(self, found: Sequence[Finding]) -> Sequence[Shelf]:
        """The shelves on which no layer lies that cannot be read: beside one, a new one would be lost."""
        closed = [finding.path.parent for finding in found if finding.condition is Condition.UNREADABLE]
        return [shelf for shelf in self.shelves if shelf.folder not in closed]

    def mend(self, path: Path) -> bool:
        """Replace the layer at `path`, which proved damaged after all; False if that cannot be done."""
        with contextlib.suppress(*Trouble):
            wreck = read_wreck(path)
            finding = Finding(path, Condition.DAMAGED, wreck.facts, wreck=wreck)
            mended = self._mended(finding)
            if mended is not None and mended.condition is Condition.GOOD:
                return True
        self.notices.append(notices.NOT_KEPT)
        return False

    def _usable(self, finding: Finding) -> Finding | None:
        """The finding once mended; None when there is nothing to be had from it."""
        match finding.condition:
            case Condition.DAMAGED:
                return self._mended(finding)
            case Condition.UNREADABLE:
                self.notices.append(notices.unreadable(finding.path, finding.reason))
                return None
            case Condition.EMPTY:
                if not self.look_only:
                    self.notices.append(notices.was_empty(finding.path))
                    with contextlib.suppress(OSError):
                        finding.path.unlink()
                        self._looked_at.discard(finding.path)
                return None
        return finding

    def _mended(self, finding: Finding) -> Finding | None:
        saved, path = len(finding.wreck.rows), finding.path
        if not self.look_only:
            with contextlib.suppress(*Trouble):
                aside = replace_wreck(path, finding.wreck.rows, {**self._facts(), **finding.wreck.facts})
                self.notices.append(notices.set_aside(path, aside, saved))
                return examine(path, self.identity, read_only=False)
        self.notices.append(notices.left_damaged(path, saved))
        return finding

    def _rank(self, finding: Finding) -> tuple[bool, bytes, bool, bool]:
        return (
            finding.strokes > 0,
            finding.newest,
            not self.look_only and can_write(finding.path),
            finding.path.parent == self.shelves[0].folder,
        )

    def _taken(self, finding: Finding, others: Sequence[Finding]) -> Berth:
        """The layer as it lies, with the strokes that only the others have."""
        beside = self.shelves[0]
        if finding.path.parent != beside.folder:
            told = notices.still_elsewhere if can_write(beside.free_place()) else notices.elsewhere
            self.notices.append(told(self.chart_path, finding.path))
        try:
            connection = connect(finding.path)
        except Trouble as error:
            return self._nowhere(_rows(finding, *others), said_by(error))
        if self.identity and not finding.facts.get(FACT_CHART):
            with contextlib.suppress(*Trouble), transaction(connection):
                keep_facts(connection, {FACT_CHART: self.identity})
        if not others:
            return Berth(connection, finding.path, finding.timeline)
        return self._joined(connection, finding.path, others)

    def _joined(self, connection: sqlite3.Connection, path: Path, others: Sequence[Finding]) -> Berth:
        """The layer at `path` with the strokes that others have and it has not."""
        for other in others:
            try:
                with transaction(connection):
                    insert_rows(connection, _rows(other))
                self.notices.append(notices.joined(path, other.path, other.strokes))
            except Trouble:
                self.notices.append(notices.two_places(path, other.path, other.strokes))
        return Berth(connection, path)

    def _carried_over(self, finding: Finding, usable: Sequence[Finding]) -> Berth:
        """Take the strokes of a layer that cannot be written to the other shelf."""
        elsewhere = self.shelves[1]
        if finding.path.parent == elsewhere.folder:
            return self._nowhere(_rows(*usable), "its file may not be written")
        for other in usable:
            if other is not finding and other.condition is Condition.GOOD and can_write(other.path):
                with contextlib.suppress(*Trouble):
                    connection = connect(other.path)
                    self.notices.append(notices.elsewhere(self.chart_path, other.path))
                    return self._joined(connection, other.path, [finding])
        return self._begun(_rows(*usable), (elsewhere,))

    def _begun(self, rows: Sequence[StrokeRow], shelves: Sequence[Shelf]) -> Berth:
        """A new layer on the first shelf that can be written."""
        reason = "what is there cannot be read"
        for shelf in shelves:
            try:
                _have_folder(shelf.folder)
                place = shelf.free_place()
                if self._has_newcomer(shelf):
                    return self.berth()
                create_layer(place, self._facts(), rows)
                connection = connect(place)
            except FileExistsError:
                # Another window of ours was a moment quicker.
                return self.berth()
            except Trouble as error:
                reason = said_by(error)
                continue
            self._tell_of_name(shelf, place)
            return Berth(connection, place)
        return self._nowhere(rows, reason)

    def _has_newcomer(self, shelf: Shelf) -> bool:
        """Whether another program put a layer there since it was looked at: it may well be this chart's."""
        return not self._looked_at.issuperset(shelf.taken_places())

    def _tell_of_name(self, shelf: Shelf, place: Path) -> None:
        if shelf is self.shelves[1]:
            self.notices.append(notices.elsewhere(self.chart_path, place))
        elif place != (first := next(shelf.places())):
            self.notices.append(notices.other_name(first, place))

    def _left_alone(self, finding: Finding) -> Berth:
        if finding.condition is Condition.IN_USE:
            self.notices.append(notices.in_use(finding.path))
            return self._in_memory(())
        rows: Sequence[StrokeRow] = ()
        with contextlib.suppress(DamagedLayer, *Trouble):
            rows = _rows(finding)
        self.notices.append(notices.newer(finding.path, shown=len(rows) > 0))
        return self._in_memory(rows)

    def _nowhere(self, rows: Sequence[StrokeRow], reason: str) -> Berth:
        self.notices.append(notices.nowhere(self.chart_path, reason))
        return self._in_memory(rows)

    def _in_memory(self, rows: Sequence[StrokeRow]) -> Berth:
        connection = connect(None)
        lay_out(connection, self._facts())
        with transaction(connection):
            insert_rows(connection, rows)
        return Berth(connection, None)

    def _facts(self) -> dict[str, str]:
        name = self.shelves[0].name.encode("utf-8", "replace").decode()
        made = datetime.now(UTC).isoformat(timespec="seconds")
        facts = {FACT_CHART: self.identity, FACT_NAME: name, FACT_MADE: made}
        return {**facts, FACT_PLACE: self.place} if self.place else facts


def _have_folder(folder: Path) -> None:
    """Make a folder if it is missing; raises `OSError`, but no `FileExistsError`, where that cannot be."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError as error:
        raise NotADirectoryError(None, f"{folder} is no folder") from error


def _rows(*findings: Finding) -> list[StrokeRow]:
    """All strokes of the findings that make sense."""
    rows: list[StrokeRow] = []
    for finding in findings:
        if finding.condition is Condition.DAMAGED:
            rows += finding.wreck.rows
            continue
        with contextlib.closing(connect(finding.path, read_only=True)) as connection:
            rows += [row for row in read_rows(connection) if makes_sense(row)]
    return rows


def _holds(finding: Finding, other: Finding) -> bool:
    """Whether the finding has the latest stroke of the other, and so, by how they are joined, all of them."""
    if not other.strokes:
        return True
    if finding.condition is Condition.DAMAGED:
        return any(row.id == other.newest for row in finding.wreck.rows)
    try:
        with contextlib.closing(connect(finding.path, read_only=True)) as connection:
            return read_row(connection, other.newest).id == other.newest
    except (DamagedLayer, *Trouble):
        return False

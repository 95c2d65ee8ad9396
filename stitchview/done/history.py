"""Undo and redo without end: the strokes that hold and those taken back, in order."""

import bisect
from collections import OrderedDict
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from stitchview.done.change import Change
from stitchview.done.ids import Clock, Ids, now_ms
from stitchview.done.strokes import MARK, REDO, UNDO, Stroke, kind_of

MOST_BYTES_AT_HAND = 48 << 20


@dataclass(frozen=True, eq=False, slots=True)
class Step:
    """One undo or redo: the `change` to apply to the marks, and the `stroke` to keep."""

    change: Change
    stroke: Stroke


class Maker:
    """Makes strokes of one device, each with an id above all before it."""

    def __init__(self, device: str, after: bytes | None = None, clock: Clock = now_ms) -> None:
        self._device, self._clock = device.encode("utf-8", "replace").decode(), clock
        self._ids, self._after = Ids(after, clock), after

    def know(self, newest: bytes | None) -> None:
        """Know of strokes up to `newest` that somebody else made; the next id stands above it."""
        if newest is not None and newest != self._after:
            self._after = newest
            self._ids = Ids(newest, self._clock)

    def stroke(self, kind: str, target: bytes | None = None, change: Change | None = None) -> Stroke:
        """A new stroke, made now."""
        stroke = Stroke(self._ids.next(), self._after, self._clock(), self._device, kind, target, change)
        self._after = stroke.id
        return stroke


@dataclass(frozen=True, eq=False, slots=True)
class Past:
    """The strokes of earlier evenings: those `live`, those `undone`, and how to read of them.

    `load` gives the change of a stroke by its id. `settle`, when given, says what alters when just
    the strokes it is told hold: it is needed where the strokes did not all know of one another, and
    a stroke's own inverse would not lead back. Both raise `LayerError` when they cannot be read.
    `stitchless` are the strokes that only noted something.
    """

    load: Callable[[bytes], Change]
    live: Sequence[bytes] = ()
    undone: Sequence[bytes] = ()
    settle: Callable[[Sequence[bytes]], Change] | None = None
    stitchless: Collection[bytes] = ()


class History:
    """The strokes that hold (`live`) and those that can be redone; changes are loaded when needed.

    It alters no marks and keeps nothing itself: whoever calls applies the change and keeps the stroke.
    """

    def __init__(self, maker: Maker, past: Past, most_bytes: int = MOST_BYTES_AT_HAND) -> None:
        self._maker, self._past = maker, past
        self._live, self._undone = list(past.live), list(past.undone)
        self._at_hand: OrderedDict[bytes, Change] = OrderedDict()
        self._stitchless = set(past.stitchless)
        self._most_bytes, self._bytes = most_bytes, 0

    @property
    def live(self) -> tuple[bytes, ...]:
        """Ids of the strokes that hold, the latest last."""
        return tuple(self._live)

    @property
    def can_undo(self) -> bool:
        """Whether a stroke can be taken back."""
        return bool(self._live)

    @property
    def can_redo(self) -> bool:
        """Whether a stroke taken back can be made again."""
        return bool(self._undone)

    def record(self, change: Change) -> Stroke:
        """Remember a change that is being made; nothing undone before it can be redone any more."""
        stroke = self._maker.stroke(kind_of(change), change=change)
        self._live.append(stroke.id)
        if change.count == 0:
            self._stitchless.add(stroke.id)
        self._undone.clear()
        self._hold(stroke.id, change)
        return stroke

    def renew(self, past: Past, newest: bytes | None) -> None:
        """Go on from other strokes, up to `newest`, because another window has made some too."""
        self._past, self._live, self._undone = past, list(past.live), list(past.undone)
        self._stitchless |= set(past.stitchless)
        self._maker.know(newest)

    def undo(self) -> Step | None:
        """Take back the latest stroke that holds; None if there is none."""
        if not self._live:
            return None
        target = self._live[-1]
        change = self._past.settle(self._live[:-1]) if self._past.settle else self._change(target).inverse()
        stroke = self._maker.stroke(UNDO, target=target)
        self._undone.append(self._live.pop())
        return Step(change, stroke)

    def withdraw(self) -> tuple[Change, tuple[Stroke, Stroke]] | None:
        """Take back the latest stroke as if it had never been: it cannot be redone; None if there is none.

        Gives the change to apply, and two strokes to keep: an undo, and one that makes nothing.
        """
        step = self.undo()
        if step is None:
            return None
        self._undone.clear()
        return step.change, (step.stroke, self._maker.stroke(MARK))

    def redo(self) -> Step | None:
        """Make again the stroke undone last; None if there is none."""
        if not self._undone:
            return None
        target = self._undone[-1]
        change = (
            self._past.settle(sorted((*self._live, target))) if self._past.settle else self._change(target)
        )
        stroke = self._maker.stroke(REDO, target=target)
        bisect.insort(self._live, self._undone.pop())
        return Step(change, stroke)

    def latest(self) -> Change | None:
        """What the latest stroke of stitches that holds altered, for pointing out where she stopped."""
        latest = next((each for each in reversed(self._live) if each not in self._stitchless), None)
        return None if latest is None else self._change(latest)

    def _change(self, stroke_id: bytes) -> Change:
        change = self._at_hand.get(stroke_id)
        if change is None:
            change = self._past.load(stroke_id)
            self._hold(stroke_id, change)
        return change

    def _hold(self, stroke_id: bytes, change: Change) -> None:
        self._at_hand[stroke_id] = change
        self._bytes += change.weight
        while self._bytes > self._most_bytes:
            _, dropped = self._at_hand.popitem(last=False)
            self._bytes -= dropped.weight

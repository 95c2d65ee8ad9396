"""Threads as they are bought: the same thread in several lines of the key, or blended, is one."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart, KeyEntry, OwnEntry, Thread, printed_entry
from stitchview.chart.threadname import ThreadName, identity_of

BEAD = "bead"


@dataclass(frozen=True, slots=True)
class Share:
    """What key entry `number` (from 1) takes of a thread: so much of all strands in its needle."""

    number: int
    share: float


@dataclass(frozen=True, slots=True)
class BoughtThread:
    """A thread as it is bought, and the key entries that use it, in the key's order.

    `instead_of` are the printed threads that it is used for.
    """

    name: str
    number: str
    kind: str
    colour: Colour
    shares: tuple[Share, ...]
    instead_of: tuple[str, ...] = ()

    @property
    def identity(self) -> ThreadName:
        """What tells it from others."""
        return identity_of(self.name, self.number)

    @property
    def numbers(self) -> tuple[int, ...]:
        """The key entries that use it, from 1."""
        return tuple(each.number for each in self.shares)


def bought_threads(chart: Chart) -> tuple[BoughtThread, ...]:
    """The threads of a chart in the order in which the key first names them, blends taken apart."""
    found: dict[ThreadName, BoughtThread] = {}
    for number, entry in enumerate(chart.key, 1):
        for thread in _threads_of(entry, number):
            known = found.setdefault(thread.identity, thread)
            if known is not thread:
                found[thread.identity] = replace(
                    known,
                    shares=_joined(known.shares, thread.shares[0]),
                    instead_of=tuple(dict.fromkeys((*known.instead_of, *thread.instead_of))),
                )
    return tuple(found.values())


def _threads_of(entry: KeyEntry, number: int) -> Iterator[BoughtThread]:
    printed = printed_entry(entry)
    if not entry.blend:
        bought = _bought(entry, printed, Share(number, 1.0))
        yield replace(bought, instead_of=entry.instead_of) if isinstance(entry, OwnEntry) else bought
        return
    strands = sum(max(1, each.strands) for each in entry.blend)
    for each, as_printed in zip(entry.blend, printed.blend, strict=True):
        yield _bought(each, as_printed, Share(number, max(1, each.strands) / strands))


def _bought(used: KeyEntry | Thread, printed: KeyEntry | Thread, share: Share) -> BoughtThread:
    same = identity_of(used.name, used.number) == identity_of(printed.name, printed.number)
    instead = () if same else (printed.name or printed.number,)
    return BoughtThread(used.name, used.number, used.kind, used.colour, (share,), instead)


def _joined(shares: tuple[Share, ...], new: Share) -> tuple[Share, ...]:
    last = shares[-1]
    if last.number == new.number:
        return (*shares[:-1], Share(last.number, last.share + new.share))
    return (*shares, new)

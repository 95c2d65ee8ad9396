"""Threads as they are bought: the same thread in several lines of the key, or blended, is one."""

from collections.abc import Iterator
from dataclasses import dataclass

from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart, KeyEntry

ThreadName = tuple[str, str]
"""Name and number of a thread, without regard to capitals and spaces: what tells it from others."""

BEAD = "bead"


@dataclass(frozen=True, slots=True)
class Share:
    """What key entry `number` (from 1) takes of a thread: so much of all strands in its needle."""

    number: int
    share: float


@dataclass(frozen=True, slots=True)
class BoughtThread:
    """A thread as it is bought, and the key entries that use it, in the key's order."""

    name: str
    number: str
    kind: str
    colour: Colour
    shares: tuple[Share, ...]

    @property
    def identity(self) -> ThreadName:
        """What tells it from others."""
        return identity_of(self.name, self.number)

    @property
    def numbers(self) -> tuple[int, ...]:
        """The key entries that use it, from 1."""
        return tuple(each.number for each in self.shares)


def identity_of(name: str, number: str) -> ThreadName:
    """The name and number without regard to capitals and spaces."""
    return " ".join(name.split()).casefold(), " ".join(number.split()).casefold()


def bought_threads(chart: Chart) -> tuple[BoughtThread, ...]:
    """The threads of a chart in the order in which the key first names them, blends taken apart."""
    found: dict[ThreadName, BoughtThread] = {}
    for number, entry in enumerate(chart.key, 1):
        for thread in _threads_of(entry, number):
            known = found.setdefault(thread.identity, thread)
            if known is not thread:
                shares = _joined(known.shares, thread.shares[0])
                found[thread.identity] = BoughtThread(
                    known.name, known.number, known.kind, known.colour, shares
                )
    return tuple(found.values())


def _threads_of(entry: KeyEntry, number: int) -> Iterator[BoughtThread]:
    if not entry.blend:
        yield BoughtThread(entry.name, entry.number, entry.kind, entry.colour, (Share(number, 1.0),))
        return
    strands = sum(max(1, each.strands) for each in entry.blend)
    for each in entry.blend:
        share = Share(number, max(1, each.strands) / strands)
        yield BoughtThread(each.name, each.number, each.kind, each.colour, (share,))


def _joined(shares: tuple[Share, ...], new: Share) -> tuple[Share, ...]:
    last = shares[-1]
    if last.number == new.number:
        return (*shares[:-1], Share(last.number, last.share + new.share))
    return (*shares, new)

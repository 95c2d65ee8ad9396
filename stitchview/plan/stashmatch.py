"""Finds the threads of a chart in her stash by their own numbers and names, and says where it is not sure."""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from stitchview.chart.colour import Colour
from stitchview.chart.model import THREAD_KINDS, UNTOLD
from stitchview.plan.likeness import difference
from stitchview.plan.stash import Holding
from stitchview.plan.threads import BoughtThread

ANOTHER_COLOUR = 10.0
"""CIEDE2000 from which two screen colours of one number are of two threads (an estimate of ours)."""
_KINDS = frozenset(THREAD_KINDS)
_SURE, _PERHAPS, _NOT = 2, 1, 0


@dataclass(frozen=True, slots=True)
class Found:
    """What the stash holds of one thread: surely, and perhaps (same number, other name, or the like)."""

    thread: BoughtThread
    owned: tuple[Holding, ...] = ()
    perhaps: tuple[Holding, ...] = ()


@dataclass(frozen=True, slots=True)
class Matching:
    """Every thread of a chart with what was found of it, and the holdings that no thread asked for."""

    found: tuple[Found, ...]
    others: tuple[Holding, ...]


def matching(threads: Sequence[BoughtThread], holdings: Sequence[Holding]) -> Matching:
    """Find each of `threads` among `holdings`; O(threads + holdings) where numbers are rarely shared.

    Numbers that differ, and kinds that differ, make two threads of one name. One number makes
    one thread of two names if all words of one stand in the other. A holding that fits two threads
    equally well is sure for neither. A number under quite another name is only perhaps the thread,
    and not if its colour is another too.
    """
    shelf = _Shelf(holdings)
    fits = [dict(shelf.fitting(_Label.of_thread(thread))) for thread in threads]
    claims = Counter(place for fit in fits for place, how in fit.items() if how == _SURE)
    found = tuple(_found(thread, fit, claims, holdings) for thread, fit in zip(threads, fits, strict=True))
    asked = {place for fit in fits for place in fit}
    others = tuple(holding for place, holding in enumerate(holdings) if place not in asked)
    return Matching(found, others)


def _found(
    thread: BoughtThread, fit: dict[int, int], claims: Counter[int], holdings: Sequence[Holding]
) -> Found:
    sure = [place for place in sorted(fit) if fit[place] == _SURE and claims[place] == 1]
    doubtful = [place for place in sorted(fit) if place not in sure]
    return Found(
        thread, tuple(holdings[place] for place in sure), tuple(holdings[place] for place in doubtful)
    )


@dataclass(frozen=True, slots=True)
class _Label:
    """What is printed on a thread's band, without regard to capitals, accents' spelling and signs."""

    name: str
    number: str
    kind: str
    words: frozenset[str]
    colour: Colour | None
    range_words: frozenset[str] = frozenset()

    @classmethod
    def of_thread(cls, thread: BoughtThread) -> "_Label":
        name, number = _plain(thread.name), _number(thread.number)
        colour = thread.colour if thread.colour != UNTOLD else None
        return cls(name, number, _kind(thread.kind), _words(name, number), colour)

    @classmethod
    def of_holding(cls, holding: Holding) -> "_Label":
        name, number = _plain(holding.name), _number(holding.number)
        words, range_words = _words(name, number), _words(_plain(holding.range), "")
        return cls(name, number, _kind(holding.kind), words, holding.colour, range_words)

    def fits(self, holding: "_Label") -> int:
        """How well a holding fits this thread."""
        if self.kind and holding.kind and self.kind != holding.kind:
            # Keys often leave the kind as it comes; one of the two may be wrong about it.
            same = self.name == holding.name and self.number == holding.number
            return _PERHAPS if same else _NOT
        if self.number and holding.number:
            return self._by_number(holding) if self.number == holding.number else _NOT
        if not (self.name and self.name == holding.name) or not holding.range_words <= self.words:
            return _NOT
        # A name alone tells less than a name with a number, if the chart knows the number.
        told = {*holding.words, *holding.range_words}
        return _SURE if not self.number or self.number in told or self._name_tells() else _PERHAPS

    def _name_tells(self) -> bool:
        """Whether the name has the number in it, so that nothing else can be called so."""
        return self.number in self.name.split()

    def _by_number(self, holding: "_Label") -> int:
        if holding.range_words and self.words and not holding.range_words <= self.words:
            return _NOT
        words = holding.words
        alike = not words or not self.words or words <= self.words or self.words <= words
        if alike:
            return _SURE
        # Another name and quite another colour: the number of another range.
        far = self.colour and holding.colour and difference(self.colour, holding.colour) >= ANOTHER_COLOUR
        return _NOT if far else _PERHAPS


class _Shelf:
    """Holdings by number and by name."""

    def __init__(self, holdings: Iterable[Holding]) -> None:
        self._labels = [_Label.of_holding(holding) for holding in holdings]
        self._by_number: dict[str, list[int]] = {}
        self._by_name: dict[str, list[int]] = {}
        for place, label in enumerate(self._labels):
            if label.number:
                self._by_number.setdefault(label.number, []).append(place)
            if label.name:
                self._by_name.setdefault(label.name, []).append(place)

    def fitting(self, thread: _Label) -> Iterator[tuple[int, int]]:
        """The places of holdings that fit a thread, and how well."""
        places = (*self._by_number.get(thread.number, ()), *self._by_name.get(thread.name, ()))
        for place in dict.fromkeys(places):
            if how := thread.fits(self._labels[place]):
                yield place, how


def _plain(text: str) -> str:
    """The words of a text, one space between them."""
    return " ".join(re.findall(r"\w+", unicodedata.normalize("NFKC", text).casefold()))


def _number(text: str) -> str:
    """A thread's number; a spreadsheet makes 017 into 17, and 17 into 17.0 on a bad day."""
    plain = re.sub(r"\s+", "", unicodedata.normalize("NFKC", text).casefold())
    if whole := re.fullmatch(r"0*([0-9]+)(?:\.0+)?", plain):
        return whole[1]
    return plain


def _words(name: str, number: str) -> frozenset[str]:
    return frozenset(name.split()) - {number}


def _kind(kind: str) -> str:
    """A kind, if it is one that both sides mean alike."""
    plain = kind.strip().casefold()
    return plain if plain in _KINDS and plain != "other" else ""

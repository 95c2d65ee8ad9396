"""The words of the key: what a thread is called, how it is sorted, and how it is found."""

import re
from collections.abc import Sequence
from itertools import pairwise, takewhile

from stitchview.chart.model import KeyEntry
from stitchview.done.usedkey import instead_words

_DIGITS = frozenset("0123456789")


def name_of(entry: KeyEntry) -> str:
    """What a thread is called; by its symbol where the key gives it no name."""
    return entry.name or f"Thread of symbol {entry.symbol.text or entry.code}"


def short_names(names: Sequence[str]) -> list[str]:
    """The names without the first words that a neighbour in the key begins with too, for narrow places."""
    split = [name.split() for name in names]
    shared = [_shared(*pair) for pair in pairwise(split)]
    most = [max(before, after) for before, after in zip([0, *shared], [*shared, 0], strict=True)][
        : len(names)
    ]
    return [
        f"… {' '.join(words[count:])}" if 0 < count < len(words) else name
        for name, words, count in zip(names, split, most, strict=True)
    ]


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """A key to sort words by in which numbers count as numbers (9 before 10) and stand before letters."""
    pieces = re.findall(r"[0-9]+|[^0-9]+", text.casefold())
    return tuple(_weight(piece) for piece in pieces)


def begins(entry: KeyEntry, typed: str) -> bool:
    """Whether the number, the name or a word of the name begins with what was typed (casefolded)."""
    name = name_of(entry).casefold()
    words = (entry.number.casefold(), name, *re.split(r"[\s,]+", name))
    return any(word.startswith(typed) for word in words if word)


def has(entry: KeyEntry, words: Sequence[str]) -> bool:
    """Whether all of `words` (casefolded) are found in what the key says of a thread."""
    told = [name_of(entry), entry.number, entry.kind, "held back" if entry.held_back else ""]
    told.append(instead_words(entry))
    told += ["blend", *(thread.name for thread in entry.blend)] if entry.blend else []
    text = " ".join(told).casefold()
    return all(word in text for word in words)


def _shared(first: Sequence[str], second: Sequence[str]) -> int:
    alike = (one == other for one, other in zip(first, second, strict=False))
    return sum(takewhile(bool, alike))


def _weight(piece: str) -> tuple[int, int, str]:
    if piece[0] not in _DIGITS:
        return 1, 0, piece
    # Length before digits compares numbers of any size, even ones too long to be made into an int.
    bare = piece.lstrip("0")
    return 0, len(bare), bare

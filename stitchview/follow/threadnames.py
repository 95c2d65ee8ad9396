"""Short names of the threads of a key, for where a thread is named in passing, or aloud."""

from collections import Counter
from collections.abc import Sequence

from stitchview.chart.model import KeyEntry


def spoken_names(key: Sequence[KeyEntry]) -> tuple[str, ...]:
    """For each line of the key the shortest of its names that no other line shares.

    What stands after the last comma ("slate blue"), that with the thread's number ("slate blue
    17"), the whole name, and the whole name with the symbol, which alone need not be unlike others.
    """
    names = [_names(entry) for entry in key]
    shared = [Counter(each) for each in zip(*names, strict=True)]
    return tuple(
        next((name for name, counts in zip(each, shared, strict=True) if counts[name] == 1), each[-1])
        for each in names
    )


class NameBook:
    """The short names of a key, made anew only when it is asked for those of another."""

    def __init__(self) -> None:
        self._key: Sequence[KeyEntry] = ()
        self._names: tuple[str, ...] = ()

    def of(self, key: Sequence[KeyEntry]) -> tuple[str, ...]:
        """The names, in the order of the key."""
        if key is not self._key:
            self._key, self._names = key, spoken_names(key)
        return self._names


def _names(entry: KeyEntry) -> tuple[str, str, str, str]:
    symbol = entry.symbol.text or entry.code
    whole = entry.name or f"thread of symbol {symbol}"
    tail = whole.rpartition(", ")[2] or whole
    return tail, f"{tail} {entry.number}".rstrip(), whole, f"{whole}, symbol {symbol}"

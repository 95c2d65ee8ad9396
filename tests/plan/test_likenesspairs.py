"""Threads easily taken for each other: which pairs of a key are named, in which order, with what advice."""

from collections.abc import Callable
from dataclasses import replace

from stitchview.chart.colour import Colour
from stitchview.chart.model import UNTOLD, Chart, KeyEntry, Symbol
from stitchview.plan.likeness import Sight, difference
from stitchview.plan.likenesspairs import (
    HEAVY_SYMBOLS,
    SIGHT_WORDS,
    Eyes,
    LikenessLimits,
    look_alikes,
)


def entry(code: str, colour: str, symbol: str = "") -> KeyEntry:
    return KeyEntry(
        code, Symbol(symbol or code), f"Sample cotton {code}", code, colour=Colour.from_hex(colour)
    )


SLATE = entry("a", "#4A5B6C")
SLATE_AGAIN = entry("b", "#4C5C6E")
WINE = entry("c", "#7B1E34")
# Far apart for most eyes, near for eyes weak in green (see test_colours_differ_by_sight).
MOSS = entry("d", "#7A6A2A")
RUST = entry("e", "#8E5B2C")


def test_two_slate_blues_are_named_and_wine_is_not() -> None:
    """Two threads that nobody tells apart by lamplight are named with their difference."""
    found = look_alikes([SLATE, WINE, SLATE_AGAIN])
    assert [pair.numbers for pair in found.pairs] == [(1, 3)]
    assert found.pairs[0].for_every_eye
    assert found.pairs[0].differences[Sight.NORMAL] == difference(SLATE.colour, SLATE_AGAIN.colour)
    assert found.of(1) == (3,)
    assert found.of(3) == (1,)
    assert found.of(2) == ()


def test_colours_differ_by_sight() -> None:
    """A pair plain to most eyes is named for those weak in green or red, and only for them."""
    found = look_alikes([MOSS, RUST], Eyes(limits=LikenessLimits(normal=5, deficient=8)))
    assert difference(MOSS.colour, RUST.colour) > 10
    assert len(found.pairs) == 1
    assert not found.pairs[0].for_every_eye
    assert Sight.DEUTAN in found.pairs[0].differences
    only_normal = Eyes((Sight.NORMAL,), LikenessLimits(normal=5, deficient=8))
    assert look_alikes([MOSS, RUST], only_normal).pairs == ()


def test_pairs_alike_for_every_eye_come_first() -> None:
    """What everybody may mix up is read before what only some eyes mix up."""
    found = look_alikes([MOSS, RUST, SLATE, SLATE_AGAIN], Eyes(limits=LikenessLimits(5, 8)))
    assert [pair.numbers for pair in found.pairs] == [(3, 4), (1, 2)]


def test_every_pair_named_lies_below_its_limit(random_chart: Callable[..., Chart]) -> None:
    """Asked one by one, every pair of a key of 40 is named when it lies below a limit, and only then."""
    key = random_chart(8, 8, 40, 1).key
    limits = LikenessLimits(6, 9)
    found = {pair.numbers: set(pair.differences) for pair in look_alikes(key, Eyes(limits=limits)).pairs}
    for first in range(1, 41):
        for second in range(first + 1, 41):
            pair = key[first - 1].colour, key[second - 1].colour
            below = {sight for sight in Sight if difference(*pair, sight) < limits.of(sight)}
            assert found.get((first, second), set()) == below


def test_the_darker_thread_is_to_get_a_heavy_symbol_that_is_free() -> None:
    """The advice names the darker thread and a filled symbol that the key does not use yet."""
    key = [replace(SLATE_AGAIN, symbol=Symbol(HEAVY_SYMBOLS[0])), SLATE]
    remedy = look_alikes(key).pairs[0].remedy
    assert remedy.number == 2
    assert remedy.symbol in HEAVY_SYMBOLS[1:]
    assert "Sample cotton a" in remedy.words
    assert remedy.symbol in remedy.words
    assert "apart on the card" in remedy.words


def test_symbols_of_unlike_weight_are_left_as_they_are() -> None:
    """Where one symbol inks far more of its square than the other, only the card is to help."""
    found = look_alikes([SLATE, SLATE_AGAIN], Eyes(weights=(0.1, 0.5))).pairs[0]
    assert found.remedy.number == 0
    assert "apart on the card" in found.remedy.words
    near = look_alikes([SLATE, SLATE_AGAIN], Eyes(weights=(0.1, 0.15))).pairs[0]
    assert near.remedy.number == 1


def test_no_symbol_is_advised_twice(random_chart: Callable[..., Chart]) -> None:
    """However many pairs there are, no two threads are told to take the same symbol."""
    key = random_chart(8, 8, 200, 1).key
    remedies = {pair.remedy for pair in look_alikes(key).pairs}
    symbols = [remedy.symbol for remedy in remedies if remedy.symbol]
    assert len(symbols) > 5
    assert len(symbols) == len(set(symbols))
    assert any(not remedy.number for remedy in remedies)


def test_threads_without_a_colour_are_listed_and_not_compared() -> None:
    """Two threads whose colours nobody told are not called alike, but said to be unknown."""
    found = look_alikes([replace(SLATE, colour=UNTOLD), WINE, replace(SLATE_AGAIN, colour=UNTOLD)])
    assert found.pairs == ()
    assert found.colourless == (1, 3)


def test_a_key_of_one_or_none_has_no_pairs() -> None:
    """An empty key and a key of one thread are no trouble."""
    assert look_alikes([]).pairs == ()
    assert look_alikes([SLATE]).pairs == ()


def test_every_sight_has_its_words() -> None:
    """Each way of seeing is called by words she can read."""
    assert set(SIGHT_WORDS) == set(Sight)

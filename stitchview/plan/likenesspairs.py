"""Threads of one key that are easily taken for each other in the evening, and what to do about each pair."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from stitchview.chart.model import UNTOLD, KeyEntry
from stitchview.plan.likeness import Sight, labs, pairs_below

LIMITS_SOURCE = (
    "Limits from memory, not measured on thread: change them when they warn too often or too late."
)
SIGHT_WORDS = {
    Sight.NORMAL: "for every eye",
    Sight.PROTAN: "where red is hard to see (protan)",
    Sight.DEUTAN: "where green is hard to see (deutan)",
    Sight.TRITAN: "where blue is hard to see (tritan)",
}
# Filled and open signs that most fonts have, heavy ones first.
HEAVY_SYMBOLS = "■●▲◆▼★♥♣♠◼⬟⬢"
LIGHT_SYMBOLS = "□○△◇▽☆♡♧♤◻⬠⬡"


@dataclass(frozen=True, slots=True)
class LikenessLimits:
    """From which CIEDE2000 difference on two threads count as told apart.

    `normal` for normal sight, `deficient` under a simulated deficiency; `weight` is how much more
    of its square one symbol must ink than the other to look heavier. All from memory: settings.
    A limit of 10 under a deficiency, also in use, named 432 of the 2,556 pairs of the sample
    harbour, which nobody would read; at 5 it names 138.
    """

    normal: float = 5.0
    deficient: float = 5.0
    weight: float = 0.12

    def of(self, sight: Sight) -> float:
        """The limit for a sight."""
        return self.normal if sight is Sight.NORMAL else self.deficient


@dataclass(frozen=True, slots=True)
class Remedy:
    """What tells a pair apart: `words`, and the key number to be given another `symbol`, or 0."""

    words: str
    number: int = 0
    symbol: str = ""


@dataclass(frozen=True, slots=True)
class LookAlike:
    """Two key entries, by their numbers from 1, and their CIEDE2000 differences where they are too small."""

    first: int
    second: int
    differences: Mapping[Sight, float]
    remedy: Remedy

    @property
    def for_every_eye(self) -> bool:
        """Whether the two look alike under normal sight already."""
        return Sight.NORMAL in self.differences

    @property
    def numbers(self) -> tuple[int, int]:
        """Both key numbers, the smaller first."""
        return self.first, self.second


@dataclass(frozen=True, slots=True)
class LookAlikes:
    """The pairs, those alike for every eye first and nearer ones before; and entries without a colour."""

    pairs: tuple[LookAlike, ...]
    colourless: tuple[int, ...] = ()

    def of(self, number: int) -> tuple[int, ...]:
        """The key numbers easily taken for this one."""
        both = (pair.numbers for pair in self.pairs if number in pair.numbers)
        return tuple(sorted(first + second - number for first, second in both))


@dataclass(frozen=True, slots=True)
class Eyes:
    """Whose eyes are asked and how strictly.

    `weights` holds, for each key entry, the share of its square that its symbol inks, 0 to 1, as
    drawing measures it; empty when nobody measured.
    """

    sights: tuple[Sight, ...] = tuple(Sight)
    limits: LikenessLimits = LikenessLimits()
    weights: Sequence[float] = field(default_factory=tuple)


def look_alikes(key: Sequence[KeyEntry], eyes: Eyes = Eyes()) -> LookAlikes:
    """The pairs of a key that lie below the limits; entries whose colour nobody told are left out.

    O(pairs), of which only those that may lie below are reckoned exactly.
    """
    told = [number for number, entry in enumerate(key, 1) if entry.colour != UNTOLD]
    found = _differences([key[number - 1] for number in told], eyes)
    pairs = sorted(
        ((told[first], told[second], apart) for (first, second), apart in found.items()), key=_worst_first
    )
    advice = _Advice(key, eyes)
    return LookAlikes(
        tuple(LookAlike(first, second, apart, advice.on(first, second)) for first, second, apart in pairs),
        tuple(number for number in range(1, len(key) + 1) if key[number - 1].colour == UNTOLD),
    )


def _differences(entries: Sequence[KeyEntry], eyes: Eyes) -> dict[tuple[int, int], dict[Sight, float]]:
    colours = [entry.colour for entry in entries]
    found: dict[tuple[int, int], dict[Sight, float]] = {}
    for sight in eyes.sights:
        for first, second, apart in pairs_below(colours, eyes.limits.of(sight), sight):
            found.setdefault((first, second), {})[sight] = apart
    return found


def _worst_first(pair: tuple[int, int, Mapping[Sight, float]]) -> tuple[bool, float, int, int]:
    first, second, apart = pair
    normal = apart.get(Sight.NORMAL)
    return normal is None, min(apart.values()) if normal is None else normal, first, second


class _Advice:
    """Gives each pair its remedy, and no new symbol twice."""

    def __init__(self, key: Sequence[KeyEntry], eyes: Eyes) -> None:
        self._key, self._eyes = key, eyes
        taken = {entry.symbol.text for entry in key} | {entry.code for entry in key}
        self._heavy = _unused(HEAVY_SYMBOLS, taken)
        self._light = _unused(LIGHT_SYMBOLS, taken)
        self._lightness = labs([entry.colour for entry in key])[:, 0]
        self._given: dict[int, Remedy] = {}

    def on(self, first: int, second: int) -> Remedy:
        """What to do about a pair."""
        for number in (first, second):
            if number in self._given:
                return self._given[number]
        weights = self._eyes.weights
        if weights and abs(weights[first - 1] - weights[second - 1]) >= self._eyes.limits.weight:
            return Remedy("Their symbols differ in weight already: put them apart on the card.")
        darker, lighter = sorted((first, second), key=lambda number: float(self._lightness[number - 1]))
        changes = ((darker, self._heavy, "heavy, filled"), (lighter, self._light, "light, open"))
        for number, symbols, weight in changes:
            if symbol := next(symbols, ""):
                words = f"Give {_named(self._key[number - 1])} a {weight} symbol such as {symbol}"
                remedy = Remedy(f"{words}, and put the two apart on the card.", number, symbol)
                self._given[number] = remedy
                return remedy
        return Remedy("Put them apart on the card, and tie a bit of each beside its name.")


def _unused(symbols: str, taken: set[str]) -> Iterator[str]:
    return (symbol for symbol in symbols if symbol not in taken)


def _named(entry: KeyEntry) -> str:
    return f"“{entry.name or entry.symbol.text or entry.code}”"

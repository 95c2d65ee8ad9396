"""The thread card: which hole holds which thread, in what order, and which holes are easily mixed up."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from stitchview.chart.model import UNTOLD, Chart, KeyEntry
from stitchview.done.usedkey import instead_words
from stitchview.follow.blockgrid import Block
from stitchview.follow.blocks import Blocks
from stitchview.plan.likeness import labs
from stitchview.plan.likenesspairs import LookAlikes

# Below this Lab chroma a thread reads as grey, whatever its hue (an estimate of ours).
_GREY_CHROMA = 8.0
# Threads of one twelfth of the hue circle stand together, from light to dark.
_HUE_STEP = math.tau / 12


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole of the card: its `place` from 1, the key entry it holds, and holes easily taken for it.

    `tested` is what a wash or dye test showed, "" where none was made.
    """

    place: int
    number: int
    beware: tuple[int, ...] = ()
    tested: str = ""


@dataclass(frozen=True, slots=True)
class ThreadCard:
    """All holes of a chart's thread card, one for each line of the key; `beside` could not be put apart.

    `beside` holds pairs of holes whose threads look alike and still lie closer than asked for.
    """

    title: str
    holes: tuple[Hole, ...]
    beside: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Use:
    """What a key entry does in the chart: fills squares (whole or in part), lies as lines, knots or beads."""

    fills: bool
    lines: bool
    points: bool


def thread_card(
    chart: Chart, order: Sequence[int] | None = None, alike: LookAlikes | None = None, apart: int = 2
) -> ThreadCard:
    """The card of a chart, its key entries (by number, from 1) in `order`, None for that of the key.

    Threads `alike` are put at least `apart` holes from each other where that can be, moving as few
    as need be. Entries the order leaves out follow in the key's order; `ValueError` for numbers the
    key does not have or that come twice.
    """
    numbers = completed(order or (), len(chart.key))
    pairs = frozenset(pair.numbers for pair in alike.pairs) if alike else frozenset()
    numbers = put_apart(numbers, pairs, apart)
    places = {number: place for place, number in enumerate(numbers, 1)}
    mixed = _mixed(pairs, places)
    holes = tuple(Hole(place, number, mixed.get(number, ())) for number, place in places.items())
    beside = (sorted((places[first], places[second])) for first, second in pairs)
    near = sorted((first, second) for first, second in beside if second - first < apart)
    return ThreadCard(chart.title, holes, tuple(near))


def completed(order: Iterable[int], entries: int) -> tuple[int, ...]:
    """The order with all key numbers it leaves out after it; `ValueError` for wrong and doubled ones."""
    chosen = tuple(order)
    if len(set(chosen)) < len(chosen) or not set(chosen) <= set(range(1, entries + 1)):
        raise ValueError("an order names each key entry once, by its number from 1")
    taken = set(chosen)
    return (*chosen, *(number for number in range(1, entries + 1) if number not in taken))


def by_colour(key: Sequence[KeyEntry]) -> tuple[int, ...]:
    """Key numbers with greys first from light to dark, then hue by hue from red on, light to dark in each.

    Entries whose colour nobody told come last.
    """
    values = labs([entry.colour for entry in key])
    ranks = []
    for number, (lightness, a, b) in enumerate(values.tolist(), 1):
        untold = key[number - 1].colour == UNTOLD
        hue = math.atan2(b, a) % math.tau
        group = -1 if math.hypot(a, b) < _GREY_CHROMA else int((hue + _HUE_STEP / 2) % math.tau / _HUE_STEP)
        ranks.append((untold, group, -lightness, number))
    return tuple(number for *_, number in sorted(ranks))


def by_next_blocks(blocks: Blocks, ahead: Sequence[Block]) -> tuple[int, ...]:
    """Key numbers as the blocks `ahead` need them: those of the first block first, the most needed before.

    What none of them needs is left out; `thread_card` puts it after in the key's order.
    """
    order: dict[int, None] = {}
    for block in ahead:
        needed = sorted(blocks.threads_needed([block]), key=lambda each: (-each.left.total, each.number))
        order |= dict.fromkeys(each.number for each in needed)
    return tuple(order)


def blocks_ahead(blocks: Blocks, place: tuple[int, int], most: int = 12) -> tuple[Block, ...]:
    """The blocks with work left nearest to the square `place`, its own first; in squares, not millimetres."""
    grid = blocks.grid
    across = np.clip(place[0], grid.columns[:-1], grid.columns[1:] - 1) - place[0]
    down = np.clip(place[1], grid.rows[:-1], grid.rows[1:] - 1) - place[1]
    away = np.hypot(across[None, :], down[:, None])
    rows, columns = np.nonzero(blocks.left)
    nearest = np.argsort(away[rows, columns], kind="stable")[:most]
    return tuple(zip(columns[nearest].tolist(), rows[nearest].tolist(), strict=True))


def put_apart(numbers: Sequence[int], pairs: Iterable[tuple[int, int]], apart: int = 2) -> tuple[int, ...]:
    """The numbers in their order, but those of a pair at least `apart` places from each other.

    Goes through the order and takes the next that fits; what fits nowhere after is put where it
    fits before, and stays beside its like only when no place is left.
    """
    unlike: dict[int, set[int]] = {}
    for first, second in pairs:
        unlike.setdefault(first, set()).add(second)
        unlike.setdefault(second, set()).add(first)
    placed: list[int] = []
    waiting = list(numbers)
    while waiting:
        near = placed[-(apart - 1) :] if apart > 1 else []
        fitting = (each for each in waiting if not unlike.get(each, set()).intersection(near))
        chosen = next(fitting, None)
        if chosen is None:
            break
        waiting.remove(chosen)
        placed.append(chosen)
    for number in waiting:
        placed.insert(_gap(placed, number, unlike, apart), number)
    return tuple(placed)


def uses(chart: Chart) -> tuple[Use, ...]:
    """What each key entry does in the chart, in the key's order."""
    size = len(chart.key) + 1
    fills = np.bincount(chart.squares.ravel(), minlength=size) > 0
    fills[chart.parts.keys] = True
    lines, points = np.zeros(size, bool), np.zeros(size, bool)
    lines[chart.lines.keys] = True
    points[chart.points.keys] = True
    return tuple(
        Use(*each) for each in zip(*(told[1:].tolist() for told in (fills, lines, points)), strict=True)
    )


def strands_words(entry: KeyEntry, use: Use) -> str:
    """With how many strands a thread is used: "2 strands", "back stitch 1 strand", or both."""
    if entry.kind == "bead" and not entry.blend:
        return "beads"
    told = []
    if use.fills or use.points or not use.lines:
        told.append(_strands(entry.cross_strands))
    if use.lines:
        told.append(f"back stitch {_strands(entry.back_strands) if not told else entry.back_strands}")
    return ", ".join(told)


def details_words(entry: KeyEntry, use: Use) -> str:
    """The second line of a label: number and strands, or what a blend is made of; and what it stands for."""
    instead = instead_words(entry)
    if entry.blend:
        back = f", back stitch {entry.back_strands}" if use.lines else ""
        return " · ".join(text for text in (f"{blend_words(entry)}{back}", instead) if text)
    number = f"No. {entry.number}" if entry.number else ""
    return " · ".join(text for text in (number, strands_words(entry, use), instead) if text)


def blend_words(entry: KeyEntry) -> str:
    """The threads of a blend with their strands, "" for one thread.

    The first words that all share are said once: "Sample: 1 × cotton 9 + 2 × silk 4".
    """
    names = [_thread(thread.name, thread.number).split() for thread in entry.blend]
    shared = 0
    for words in zip(*names, strict=False):
        if len(set(words)) > 1:
            break
        shared += 1
    if any(len(name) == shared for name in names):
        shared = 0
    told = zip(entry.blend, names, strict=True)
    parts = " + ".join(f"{thread.strands} × {' '.join(name[shared:])}" for thread, name in told)
    return f"{' '.join(names[0][:shared])}: {parts}" if shared else parts


def _thread(name: str, number: str) -> str:
    """A blended thread in short: without the colour's name where what stands before has the number."""
    head = name.rpartition(",")[0]
    if number and number in head.split():
        return head
    return name if not number or number in name.replace(",", " ").split() else f"{name} {number}"


def _strands(count: int) -> str:
    return f"{count} {'strand' if count == 1 else 'strands'}"


def _gap(placed: Sequence[int], number: int, unlike: Mapping[int, set[int]], apart: int) -> int:
    """The last place at which `number` and all now beside it stay apart; else the end."""
    for place in range(len(placed), -1, -1):
        around = placed[max(0, place - apart + 1) : place + apart - 1]
        tried = [*placed[max(0, place - apart) : place], number, *placed[place : place + apart]]
        if not unlike.get(number, set()).intersection(around) and not _clash(tried, unlike, apart):
            return place
    return len(placed)


def _clash(numbers: Sequence[int], unlike: Mapping[int, set[int]], apart: int) -> bool:
    return any(
        unlike.get(number, set()).intersection(numbers[place + 1 : place + apart])
        for place, number in enumerate(numbers)
    )


def _mixed(pairs: Iterable[tuple[int, int]], places: Mapping[int, int]) -> dict[int, tuple[int, ...]]:
    """For each key number the holes of those that look like it."""
    mixed: dict[int, list[int]] = {}
    for first, second in pairs:
        mixed.setdefault(first, []).append(places[second])
        mixed.setdefault(second, []).append(places[first])
    return {number: tuple(sorted(found)) for number, found in mixed.items()}

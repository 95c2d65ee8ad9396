"""The key of the sample: thread names, numbers, kinds, blends and symbols."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.codes import allot_codes
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.colourwords import colour_words
from stitchview.chart.harbour.easel import Stuff
from stitchview.chart.harbour.palette import BEADS, METALLICS, Palette
from stitchview.chart.harbour.symbols import symbols
from stitchview.chart.model import KeyEntry, Symbol, Thread

Wholes = NDArray[np.int64]

COTTON, SILK, DYED, METALLIC, BEAD = "stranded cotton", "silk", "hand-dyed", "metallic", "bead"
KIND_WORDS = {COTTON: "cotton", SILK: "silk", DYED: "hand-dyed", METALLIC: "metallic", BEAD: "bead"}
SPECIAL_WORDS = {colour: words for _, colour, words in (*METALLICS, *BEADS)}
KIND_ORDER = (COTTON, SILK, DYED, METALLIC, BEAD)


@dataclass(frozen=True, slots=True)
class Skein:
    """One thread of the palette before it has its place in the key."""

    thread: int
    kind: str
    number: str
    colour: Colour

    @property
    def name(self) -> str:
        """Such as “Sample cotton 17, slate blue”."""
        words = SPECIAL_WORDS.get(self.colour.hex) or colour_words(self.colour)
        return f"Sample {KIND_WORDS[self.kind]} {self.number}, {words}"


def key_order(palette: Palette) -> Wholes:
    """For each thread of the palette its place in the key from 1; 0 for the one left to the cloth."""
    places = np.zeros(len(palette.lab), np.int64)
    for place, skein in enumerate(_skeins(palette), 1):
        places[skein.thread] = place
    first = int(places.max()) + 1
    for number in range(len(palette.blends)):
        places[palette.plain + number] = first + number
    return places


def make_key(palette: Palette, places: Wholes, counts: Wholes) -> tuple[KeyEntry, ...]:
    """The key in its order; `counts` are the crosses of each place from 1, for the plainest symbols."""
    skeins = _skeins(palette)
    by_thread = {skein.thread: skein for skein in skeins}
    entries = len(skeins) + len(palette.blends)
    signs = [""] * (entries + 1)
    often_first = np.argsort(-counts[1:], kind="stable") + 1
    for place, sign in zip(often_first, symbols(entries), strict=True):
        signs[int(place)] = sign
    codes = ("", *allot_codes(entries))
    key: list[KeyEntry] = []
    for place, skein in enumerate(skeins, 1):
        key.append(_plain_entry(skein, codes[place], signs[place]))
    for number, pair in enumerate(palette.blends):
        place = int(places[palette.plain + number])
        both = (by_thread[pair[0]], by_thread[pair[1]])
        key.append(_blend_entry(both, _colour(palette, palette.plain + number), codes[place], signs[place]))
    return tuple(key)


def _plain_entry(skein: Skein, code: str, sign: str) -> KeyEntry:
    return KeyEntry(
        code=code,
        symbol=Symbol(sign),
        name=skein.name,
        number=skein.number,
        kind=skein.kind,
        colour=skein.colour,
        cross_strands=1 if skein.kind == BEAD else 2,
        back_strands=1,
        held_back=skein.kind in (METALLIC, BEAD),
    )


def _blend_entry(both: tuple[Skein, Skein], colour: Colour, code: str, sign: str) -> KeyEntry:
    first, second = both
    one, two = (f"{KIND_WORDS[skein.kind]} {skein.number}" for skein in both)
    return KeyEntry(
        code=code,
        symbol=Symbol(sign),
        name=f"Sample blend of {one} and {two}, {colour_words(colour)}",
        number=f"{first.number} + {second.number}",
        kind=first.kind,
        colour=colour,
        blend=tuple(Thread(skein.name, skein.number, skein.kind, skein.colour, 1) for skein in both),
    )


def _skeins(palette: Palette) -> list[Skein]:
    """All threads but the blends, by kind, and within a kind from hue to hue and dark to light."""
    kinds = _kinds(palette)
    skeins: list[Skein] = []
    for kind in KIND_ORDER:
        own = [thread for thread, its_kind in kinds.items() if its_kind == kind]
        own.sort(key=lambda thread: _shade_order(palette, thread))
        skeins += [Skein(thread, kind, str(at), _colour(palette, thread)) for at, thread in enumerate(own, 1)]
    return skeins


def _kinds(palette: Palette) -> dict[int, str]:
    kinds = {thread: COTTON for thread in range(palette.plain) if thread != palette.bare}
    if Stuff.WATER in palette.choices:
        for at, thread in enumerate(palette.choices[Stuff.WATER].tolist()):
            kinds[thread] = SILK if at % 3 == 2 else DYED
        sky = [thread for thread in palette.choices[Stuff.SKY].tolist() if thread < palette.plain]
        sky.sort(key=lambda thread: -float(palette.lab[thread, 0]))
        kinds |= dict.fromkeys(sky[: len(sky) // 4], SILK)
    kinds |= dict.fromkeys(palette.metallics.tolist(), METALLIC)
    return kinds | dict.fromkeys(palette.beads.tolist(), BEAD)


def _shade_order(palette: Palette, thread: int) -> tuple[int, float, int]:
    lightness, a, b = palette.lab[thread].tolist()
    sixth = int(np.degrees(np.arctan2(b, a)) % 360 // 45) if np.hypot(a, b) >= 0.022 else -1
    return sixth, lightness, thread


def _colour(palette: Palette, thread: int) -> Colour:
    red, green, blue = (int(part) for part in palette.rgb[thread])
    return Colour(red, green, blue)

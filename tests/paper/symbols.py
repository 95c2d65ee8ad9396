"""Draw the signs of printed charts: several hands, open and filled, light and heavy, some alike."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageChops, ImageDraw, ImageFont

from tests.paper.outlines import Path, closed_outlines
from tests.paper.strokes import dots, hatchings, strokes

FINE = 320
"""Pixels a side at which a sign is drawn before it is made smaller."""

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZabdefghknqrstyz2345679&?%#@"
FAMILIES = ("shapes", "letters", "strokes", "dots", "hatchings", "reversed")


@dataclass(frozen=True)
class Sign:
    """One sign: ``ink`` is (FINE, FINE) uint8, 255 where printed black; ``name`` is for people."""

    name: str
    family: str
    ink: NDArray[np.uint8]


@dataclass(frozen=True)
class Hand:
    """How one printer's set of signs is drawn: widths of light and heavy strokes and a size, in squares."""

    light: float
    heavy: float
    size: float


Drawer = Callable[[], Image.Image]


def drawn_signs(count: int, seed: int, families: tuple[str, ...] = FAMILIES) -> list[Sign]:
    """``count`` signs that a person can tell apart, chosen at random; look-alikes come in twos and threes."""
    random = np.random.default_rng([seed, 11])
    hand = Hand(random.uniform(0.045, 0.065), random.uniform(0.095, 0.125), random.uniform(0.88, 1.08))
    bank = [(family, *named) for family in families for named in _BANKS[family](hand)]
    order = _mixed(bank, random)
    chosen: list[Sign] = []
    seen: list[NDArray[np.float32]] = []
    for family, name, draw in order:
        sign = Sign(name, family, np.asarray(draw(), np.uint8))
        inked = cv2.resize(sign.ink, (32, 32), interpolation=cv2.INTER_AREA)
        small = np.asarray(inked, np.float32) / np.float32(255)
        if all(_unlike(small, other) for other in seen):
            chosen.append(sign)
            seen.append(small)
        if len(chosen) == count:
            return chosen
    raise ValueError(f"only {len(chosen)} signs can be told apart, {count} were asked for")


def _mixed(bank: list[tuple[str, str, Drawer]], random: np.random.Generator) -> list[tuple[str, str, Drawer]]:
    """The bank in random order, but a third of the places are neighbours in the bank of the place before."""
    left = list(range(len(bank)))
    order: list[int] = []
    while left:
        near = [at for at in left if order and abs(at - order[-1]) <= 2]
        pick = random.choice(near) if near and random.random() < 0.35 else random.choice(left)
        order.append(int(pick))
        left.remove(int(pick))
    return [bank[at] for at in order]


def _unlike(one: NDArray[np.float32], other: NDArray[np.float32]) -> bool:
    """Whether two signs differ by more than the way the print falls: in any place, moved by up to a pixel."""
    moved = [np.roll(other, (dy, dx), (0, 1)) for dy in (-1, 0, 1) for dx in (-1, 0, 1)]
    return min(float(np.square(one - shifted).sum()) for shifted in moved) > 16.0


def _blank() -> Image.Image:
    return Image.new("L", (FINE, FINE), 0)


def _scaled(path: Path) -> list[tuple[float, float]]:
    return [(x * FINE, y * FINE) for x, y in path]


def _stroke(draw: ImageDraw.ImageDraw, path: Path, width: float, closed: bool) -> None:
    """A line with round ends and corners along the path."""
    points = _scaled([*path, path[0]] if closed else path)
    draw.line(points, fill=255, width=round(width * FINE), joint="curve")
    radius = width * FINE / 2
    for x, y in points:
        draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill=255)


def _filled(paths: list[Path]) -> Image.Image:
    image = _blank()
    for path in paths:
        ImageDraw.Draw(image).polygon(_scaled(path), fill=255)
    return image


def _outlined(paths: list[Path], width: float) -> Image.Image:
    """The rim of the whole sign: what is drawn round all its parts, less what lies inside any of them."""
    rim = _blank()
    for path in paths:
        _stroke(ImageDraw.Draw(rim), path, 2 * width, closed=True)
    return ImageChops.multiply(rim, _filled(paths))


def _dotted_inside(paths: list[Path], width: float) -> Image.Image:
    image = _outlined(paths, width)
    reach = width * 1.1 * FINE
    ImageDraw.Draw(image).ellipse(
        (FINE / 2 - reach, FINE / 2 - reach, FINE / 2 + reach, FINE / 2 + reach), fill=255
    )
    return image


def _half_filled(paths: list[Path], width: float, upper: bool) -> Image.Image:
    full = _filled(paths)
    box = (0, 0, FINE, FINE // 2) if upper else (0, 0, FINE // 2, FINE)
    half = _blank()
    half.paste(full.crop(box), box)
    return ImageChops.lighter(half, _outlined(paths, width))


def _shapes(hand: Hand) -> Iterator[tuple[str, Drawer]]:
    for name, paths in closed_outlines(hand.size).items():
        yield f"{name}, filled", partial(_filled, paths)
        yield f"{name}, open", partial(_outlined, paths, hand.light)
        yield f"{name}, heavy rim", partial(_outlined, paths, hand.heavy)
        if name in {"disc", "box", "diamond", "hexagon", "triangle up", "triangle down", "star of four"}:
            yield f"{name} with a dot", partial(_dotted_inside, paths, hand.light)
            yield f"{name}, upper half filled", partial(_half_filled, paths, hand.light, True)
            yield f"{name}, left half filled", partial(_half_filled, paths, hand.light, False)


def _lettered(letter: str, size: float, weight: float) -> Image.Image:
    image = _blank()
    font = ImageFont.load_default(size * FINE)
    ImageDraw.Draw(image).text(
        (FINE / 2, FINE / 2), letter, fill=255, font=font, anchor="mm", stroke_width=weight * FINE
    )
    return image


def _letters(hand: Hand) -> Iterator[tuple[str, Drawer]]:
    for letter in LETTERS:
        yield f"letter {letter}", partial(_lettered, letter, 0.78 * hand.size, 0.0)
        if letter in "ABEHKMNRSTXZ245":
            yield f"heavy letter {letter}", partial(_lettered, letter, 0.78 * hand.size, hand.light / 2)


def _stroked(paths: list[Path], width: float) -> Image.Image:
    image = _blank()
    for path in paths:
        _stroke(ImageDraw.Draw(image), path, width, closed=False)
    return image


def _strokes(hand: Hand) -> Iterator[tuple[str, Drawer]]:
    for name, paths in strokes(hand.size).items():
        yield name, partial(_stroked, paths, hand.light * 1.2)
        yield f"{name}, heavy", partial(_stroked, paths, hand.heavy * 1.3)


def _spotted(middles: Path, radius: float) -> Image.Image:
    image = _blank()
    for x, y in _scaled(middles):
        reach = radius * FINE
        ImageDraw.Draw(image).ellipse((x - reach, y - reach, x + reach, y + reach), fill=255)
    return image


def _dots(hand: Hand) -> Iterator[tuple[str, Drawer]]:
    for name, middles in dots(hand.size).items():
        yield name, partial(_spotted, middles, hand.heavy * 0.62)
        yield f"{name}, large", partial(_spotted, middles, hand.heavy * 1.0)


def _hatched(ways: tuple[float, ...], gap: float, width: float) -> Image.Image:
    """Parallel lines over the whole square."""
    y, x = np.mgrid[0:FINE, 0:FINE] / FINE - 0.5
    ink = np.zeros((FINE, FINE), bool)
    for way in ways:
        across = np.sin(np.radians(way)) * x - np.cos(np.radians(way)) * y
        ink |= np.abs((across / gap + 0.5) % 1 - 0.5) * gap < width / 2
    return Image.fromarray(ink.astype(np.uint8) * 255)


def _hatchings(hand: Hand) -> Iterator[tuple[str, Drawer]]:
    for name, (ways, gap) in hatchings().items():
        yield f"hatched {name}", partial(_hatched, ways, gap, hand.light * 0.8)
    yield "all black", partial(_filled, [[(0, 0), (1, 0), (1, 1), (0, 1)]])


def _reversed_out(draw: Drawer) -> Image.Image:
    return ImageChops.invert(draw())


def _reversed(hand: Hand) -> Iterator[tuple[str, Drawer]]:
    """White signs on a black square."""
    for name, paths in closed_outlines(hand.size).items():
        if name.split()[0] in {"disc", "diamond", "star", "heart", "plus", "triangle", "box"}:
            yield f"white {name}", partial(_reversed_out, partial(_filled, paths))
    for name in ("cross", "slash", "backslash", "plus stroke", "angle up", "angle down"):
        paths = strokes(hand.size)[name]
        yield f"white {name}", partial(_reversed_out, partial(_stroked, paths, hand.heavy))
    yield "white dot", partial(_reversed_out, partial(_spotted, [(0.5, 0.5)], hand.heavy))


_BANKS: dict[str, Callable[[Hand], Iterator[tuple[str, Drawer]]]] = {
    "shapes": _shapes,
    "letters": _letters,
    "strokes": _strokes,
    "dots": _dots,
    "hatchings": _hatchings,
    "reversed": _reversed,
}

"""Outlines that the signs of printed charts are drawn from, as points in a square from 0 to 1."""

import math
from collections.abc import Callable

Point = tuple[float, float]
Path = list[Point]


def around(corners: int, radius: float, first: float = -90.0) -> Path:
    """A regular polygon about the middle; `first` is the direction of its first corner in degrees."""
    turns = [math.radians(first + 360 * corner / corners) for corner in range(corners)]
    return [(0.5 + radius * math.cos(turn), 0.5 + radius * math.sin(turn)) for turn in turns]


def star(points: int, radius: float, waist: float, first: float = -90.0) -> Path:
    """A star with `waist` as the share of its radius that the inner corners keep."""
    outer = around(points, radius, first)
    inner = around(points, radius * waist, first + 180 / points)
    return [corner for pair in zip(outer, inner, strict=True) for corner in pair]


def turned(path: Path, degrees: float) -> Path:
    """The path turned clockwise about the middle of the square."""
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return [
        (0.5 + cosine * (x - 0.5) - sine * (y - 0.5), 0.5 + sine * (x - 0.5) + cosine * (y - 0.5))
        for x, y in path
    ]


def box(half: float) -> Path:
    """A square about the middle."""
    return [
        (0.5 - half, 0.5 - half),
        (0.5 + half, 0.5 - half),
        (0.5 + half, 0.5 + half),
        (0.5 - half, 0.5 + half),
    ]


def plus(half: float, arm: float) -> Path:
    """A cross with four equal arms, `arm` half their width."""
    quarter = [(0.5 - arm, 0.5 - half), (0.5 + arm, 0.5 - half), (0.5 + arm, 0.5 - arm)]
    return [corner for degrees in (0, 90, 180, 270) for corner in turned(quarter, degrees)]


def traced(curve: Callable[[float], Point], points: int = 64) -> Path:
    """A closed curve followed once, its parameter going from 0 to a full turn."""
    return [curve(2 * math.pi * at / points) for at in range(points)]


def heart(radius: float) -> Path:
    """A heart by the well-known curve of sines (from memory)."""

    def curve(turn: float) -> Point:
        x = 16 * math.sin(turn) ** 3
        y = 13 * math.cos(turn) - 5 * math.cos(2 * turn) - 2 * math.cos(3 * turn) - math.cos(4 * turn)
        return 0.5 + radius * x / 16, 0.48 - radius * y / 16

    return traced(curve)


def drop(radius: float) -> Path:
    """A falling drop, its tip up."""
    return traced(_drop_of(radius))


def _drop_of(radius: float) -> Callable[[float], Point]:
    def curve(turn: float) -> Point:
        return (
            0.5 + radius * 0.8 * math.sin(turn) * math.sin(turn / 2) ** 1.5,
            0.5 - radius * math.cos(turn),
        )

    return curve


def moon(radius: float) -> Path:
    """A crescent open to the right."""
    outer = [math.radians(angle) for angle in range(50, 311, 10)]
    rim = [(0.55 + radius * math.cos(turn), 0.5 + radius * math.sin(turn)) for turn in outer]
    hollow = [math.radians(angle) for angle in range(290, 69, -10)]
    x, reach = 0.55 + radius * 0.42, radius * 0.82
    return rim + [(x + reach * math.cos(turn), 0.5 + reach * math.sin(turn)) for turn in hollow]


def arrow(half: float) -> Path:
    """A fat arrow pointing up."""
    return [
        (0.5, 0.5 - half),
        (0.5 + half * 0.85, 0.5),
        (0.5 + half * 0.32, 0.5),
        (0.5 + half * 0.32, 0.5 + half),
        (0.5 - half * 0.32, 0.5 + half),
        (0.5 - half * 0.32, 0.5),
        (0.5 - half * 0.85, 0.5),
    ]


def half_disc(radius: float) -> Path:
    """The upper half of a disc."""
    arc = [math.radians(angle) for angle in range(180, 361, 6)]
    return [(0.5 + radius * math.cos(turn), 0.62 + radius * math.sin(turn)) for turn in arc]


def hourglass(half: float) -> Path:
    """Two triangles, tip to tip."""
    return [
        (0.5 - half, 0.5 - half),
        (0.5 + half, 0.5 - half),
        (0.5 - half, 0.5 + half),
        (0.5 + half, 0.5 + half),
    ]


def corner(half: float) -> Path:
    """The half of a square above its rising diagonal."""
    return [(0.5 - half, 0.5 - half), (0.5 + half, 0.5 - half), (0.5 - half, 0.5 + half)]


def closed_outlines(size: float) -> dict[str, list[Path]]:
    """All closed outlines by name, `size` from about 0.8 to 1.1; a sign may be made of several."""
    half = 0.34 * size
    turnable: dict[str, Path] = {
        "triangle": around(3, half * 1.15),
        "drop": drop(half * 1.1),
        "moon": moon(half * 1.1),
        "arrow": arrow(half * 1.1),
        "half disc": half_disc(half * 1.1),
        "corner": corner(half),
    }
    upright: dict[str, list[Path]] = {
        "disc": [around(48, half)],
        "small disc": [around(32, half * 0.55)],
        "box": [box(half * 0.9)],
        "small box": [box(half * 0.5)],
        "diamond": [around(4, half * 1.2)],
        "lozenge": [[(0.5 + (x - 0.5) * 0.6, y) for x, y in around(4, half * 1.25)]],
        "pentagon": [around(5, half * 1.05)],
        "hexagon": [around(6, half * 1.05)],
        "octagon": [around(8, half, 22.5)],
        "star of four": [star(4, half * 1.3, 0.36)],
        "star of five": [star(5, half * 1.25, 0.42)],
        "star of six": [star(6, half * 1.2, 0.5)],
        "star of eight": [star(8, half * 1.2, 0.55)],
        "plus": [plus(half, half * 0.34)],
        "saltire": [turned(plus(half * 1.1, half * 0.3), 45)],
        "heart": [heart(half * 1.05)],
        "spade": _spade(half),
        "club": _club(half),
        "hourglass": [hourglass(half * 0.9)],
        "bow": [turned(hourglass(half * 0.9), 90)],
        "bar": [[(0.5 - half, 0.4), (0.5 + half, 0.4), (0.5 + half, 0.6), (0.5 - half, 0.6)]],
        "post": [[(0.4, 0.5 - half), (0.6, 0.5 - half), (0.6, 0.5 + half), (0.4, 0.5 + half)]],
        "twin boxes": [[(x + dx, y + dy) for x, y in box(half * 0.42)] for dx, dy in ((-0.17, 0), (0.17, 0))],
    }
    for name, path in turnable.items():
        for degrees, way in ((0, "up"), (90, "right"), (180, "down"), (270, "left")):
            upright[f"{name} {way}"] = [turned(path, degrees)]
    upright["falling arrow"] = [turned(arrow(half * 1.15), 135)]
    upright["rising arrow"] = [turned(arrow(half * 1.15), 45)]
    return upright


def _spade(half: float) -> list[Path]:
    leaf = [(x, 0.9 - y) for x, y in heart(half * 0.95)]
    return [leaf, [(0.5, 0.5), (0.5 + half * 0.45, 0.5 + half * 1.1), (0.5 - half * 0.45, 0.5 + half * 1.1)]]


def _club(half: float) -> list[Path]:
    leaves = ((0.0, -half * 0.5), (-half * 0.55, half * 0.22), (half * 0.55, half * 0.22))
    discs = [[(x + dx, y + dy) for x, y in around(32, half * 0.5)] for dx, dy in leaves]
    return [*discs, [(0.5, 0.45), (0.5 + half * 0.4, 0.5 + half * 1.1), (0.5 - half * 0.4, 0.5 + half * 1.1)]]

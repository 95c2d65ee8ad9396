"""Open strokes, dots and hatchings that signs of printed charts are drawn from, in a square from 0 to 1."""

from tests.paper.outlines import Path, turned


def strokes(size: float) -> dict[str, list[Path]]:
    """Signs of open strokes by name: ticks, angles, crosses, bars and arrows, `size` from 0.8 to 1.1."""
    half = 0.33 * size
    low, high, third = 0.5 - half, 0.5 + half, half * 0.6
    slash: Path = [(low, high), (high, low)]
    bar: Path = [(low, 0.5), (high, 0.5)]
    shaft: Path = [(0.5, high), (0.5, low)]
    turnable: dict[str, list[Path]] = {
        "angle": [[(low, 0.5 + half * 0.5), (0.5, 0.5 - half * 0.5), (high, 0.5 + half * 0.5)]],
        "two angles": [
            [(low, 0.5 + dy), (0.5, 0.5 - half + dy), (high, 0.5 + dy)] for dy in (-0.02, half * 0.8)
        ],
        "tee": [[(low, low), (high, low)], shaft],
        "hook": [[(low, low), (low, high), (high, high)]],
        "thin arrow": [shaft, [(0.5 - third, low + third), (0.5, low), (0.5 + third, low + third)]],
        "cup": [[(low, low), (low, high), (high, high), (high, low)]],
        "fork": [shaft, [(low, low), (0.5, 0.5), (high, low)]],
        "step": [[(low, high), (low, 0.5), (0.5, 0.5), (0.5, low), (high, low)]],
    }
    found: dict[str, list[Path]] = {
        "slash": [slash],
        "backslash": [turned(slash, 90)],
        "cross": [slash, turned(slash, 90)],
        "plus stroke": [bar, shaft],
        "eight arms": [slash, turned(slash, 90), bar, shaft],
        "six arms": [turned(bar, degrees) for degrees in (30, 90, 150)],
        "bar stroke": [bar],
        "two bars": [[(low, 0.5 + dy), (high, 0.5 + dy)] for dy in (-half / 2, half / 2)],
        "three bars": [[(low, 0.5 + dy), (high, 0.5 + dy)] for dy in (-third, 0.0, third)],
        "two slashes": [[(x + dx, y + dx) for x, y in slash] for dx in (-half * 0.35, half * 0.35)],
        "wave": [[(low, 0.58), (0.5 - half / 2, 0.38), (0.5, 0.58), (0.5 + half / 2, 0.38), (high, 0.58)]],
        "zed": [[(low, low), (high, low), (low, high), (high, high)]],
        "hash": [
            *[[(low, 0.5 + d), (high, 0.5 + d)] for d in (-third / 2, third / 2)],
            *[[(0.5 + d, low), (0.5 + d, high)] for d in (-third / 2, third / 2)],
        ],
    }
    found["two posts"] = [turned(path, 90) for path in found["two bars"]]
    found["three posts"] = [turned(path, 90) for path in found["three bars"]]
    for name, paths in turnable.items():
        for degrees, way in ((0, "up"), (90, "right"), (180, "down"), (270, "left")):
            found[f"{name} {way}"] = [turned(path, degrees) for path in paths]
    return found


def dots(size: float) -> dict[str, list[tuple[float, float]]]:
    """Signs of round dots by name: the middles of the dots."""
    step = 0.22 * size
    sides = [(0.5 - step, 0.5), (0.5 + step, 0.5)]
    corners = [(0.5 + dx * step, 0.5 + dy * step) for dx in (-1, 1) for dy in (-1, 1)]
    rising = [(0.5 - step, 0.5 + step), (0.5 + step, 0.5 - step)]
    ring = [(0.5, 0.5 - step), (0.5, 0.5 + step), *sides]
    grid = [(0.5 + dx * step, 0.5 + dy * step) for dx in (-1, 0, 1) for dy in (-1, 0, 1)]
    return {
        "dot": [(0.5, 0.5)],
        "two dots": sides,
        "two dots upright": [(y, x) for x, y in sides],
        "two dots rising": rising,
        "two dots falling": [(1 - x, y) for x, y in rising],
        "three dots": [*rising, (0.5, 0.5)],
        "three dots triangle": [(0.5, 0.5 - step), (0.5 - step, 0.5 + step), (0.5 + step, 0.5 + step)],
        "four dots": corners,
        "four dots turned": ring,
        "five dots": [*corners, (0.5, 0.5)],
        "nine dots": grid,
    }


def hatchings() -> dict[str, tuple[tuple[float, ...], float]]:
    """Signs that fill the square with parallel lines: directions in degrees and spacing in squares."""
    ways: dict[str, tuple[float, ...]] = {
        "falling": (45.0,),
        "rising": (135.0,),
        "level": (0.0,),
        "upright": (90.0,),
        "crossed": (45.0, 135.0),
        "netted": (0.0, 90.0),
    }
    spacings = {"close": 0.16, "wide": 0.28}
    return {f"{way} {gap}": (ways[way], spacings[gap]) for way in ways for gap in spacings}

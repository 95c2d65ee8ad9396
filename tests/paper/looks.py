"""Choose how a sheet is printed: lines, bold lines, numbers, margins, shading, weight of back stitch."""

from dataclasses import dataclass, field

import numpy as np

Colour = tuple[int, int, int]
BLACK: Colour = (0, 0, 0)


@dataclass(frozen=True)
class Look:
    """How a sheet is printed; widths are shares of a square.

    ``bold_every`` 0 means no bold lines; ``bold_from`` is the chart's column and row that the first bold line
    stands before (0 where counting starts at the edge). ``numbered`` names the sides with numbers.
    ``margins`` are left, top, right, bottom in squares. ``repeated_shade`` is the grey (0 to 255, 255 white)
    behind columns and rows that another sheet shows too. ``area_shade`` is a grey behind one area, 255 none.
    """

    thin: float = 0.045
    bold: float = 0.12
    thin_colour: Colour = BLACK
    bold_colour: Colour = BLACK
    bold_every: int = 10
    bold_from: tuple[int, int] = (0, 0)
    edge: float = 0.14
    numbered: frozenset[str] = field(default_factory=lambda: frozenset({"top", "left"}))
    arrows: bool = True
    title: str = "Harbour at dusk"
    margins: tuple[float, float, float, float] = (8.0, 10.0, 6.0, 8.0)
    repeated_shade: int = 214
    area_shade: int = 255
    line_width: float = 0.17
    point_radius: float = 0.23
    ink: int = 12


TITLES = ("Harbour at dusk", "Two boats", "The quay in autumn", "Lamps on the water", "")
GRID_COLOURS: tuple[Colour, ...] = (
    BLACK,
    BLACK,
    (60, 60, 60),
    (110, 110, 110),
    (150, 150, 150),
    (90, 120, 170),
)
BOLD_COLOURS: tuple[Colour, ...] = (BLACK, BLACK, BLACK, (50, 50, 50), (40, 70, 140), (150, 50, 50))
SIDES = (("top", "left"), ("top", "left"), ("top", "bottom", "left", "right"), ("bottom", "left"), ())


def look_by_chance(seed: int) -> Look:
    """A look that some printer may have chosen."""
    random = np.random.default_rng([seed, 37])
    thin = random.uniform(0.03, 0.065)
    plain = random.random() < 0.6
    counted_from_middle = random.random() < 0.25
    return Look(
        thin=thin,
        bold=max(thin * 1.7, random.uniform(0.075, 0.15)),
        thin_colour=BLACK if plain else GRID_COLOURS[random.integers(len(GRID_COLOURS))],
        bold_colour=BLACK if plain else BOLD_COLOURS[random.integers(len(BOLD_COLOURS))],
        bold_from=(int(random.integers(10)), int(random.integers(10))) if counted_from_middle else (0, 0),
        edge=random.uniform(0.09, 0.2),
        numbered=frozenset(SIDES[random.integers(len(SIDES))]),
        arrows=bool(random.random() < 0.8),
        title=TITLES[random.integers(len(TITLES))],
        margins=tuple(random.uniform((4, 5, 3, 4), (9, 13, 8, 9)).tolist()),
        repeated_shade=int(random.integers(195, 230)),
        area_shade=255 if random.random() < 0.75 else int(random.integers(200, 240)),
        line_width=random.uniform(0.13, 0.21),
        point_radius=random.uniform(0.19, 0.27),
        ink=int(random.integers(0, 35)),
    )

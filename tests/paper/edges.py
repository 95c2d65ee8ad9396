"""Print what stands around the grid of a test sheet: numbers, arrows at the middle, and the title."""

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from tests.paper.looks import Look

Nodes = NDArray[np.float64]


def print_edges(
    pixels: NDArray[np.uint8], nodes: Nodes, first: tuple[int, int], chart: tuple[int, int], look: Look
) -> None:
    """Write numbers, arrows and title on the page in place; ``chart`` is the chart's columns and rows."""
    image = Image.fromarray(pixels)
    draw = ImageDraw.Draw(image)
    pitch = float(nodes[0, 1, 0] - nodes[0, 0, 0])
    left, top = nodes[0, 0].tolist()
    right, bottom = nodes[-1, -1].tolist()
    for side in sorted(look.numbered):
        axis = 0 if side in ("top", "bottom") else 1
        for line in range(nodes.shape[1 - axis]):
            number = first[axis] + line - look.bold_from[axis]
            if look.bold_every and number % look.bold_every == 0 and number != 0:
                along = float(nodes[0, line, 0] if axis == 0 else nodes[line, 0, 1])
                place = {
                    "top": (along, top - 0.95 * pitch, "ms"),
                    "bottom": (along, bottom + 0.95 * pitch, "mt"),
                    "left": (left - 0.95 * pitch, along, "rm"),
                    "right": (right + 0.95 * pitch, along, "lm"),
                }[side]
                _write(draw, place, str(abs(number)), 1.05 * pitch, look)
    if look.arrows:
        _print_arrows(draw, nodes, first, chart, look)
    if look.title:
        title = f"{look.title} · columns {first[0] + 1} to {first[0] + nodes.shape[1] - 1}"
        _write(draw, (left, top - 2.6 * pitch, "ls"), title, 1.9 * pitch, look)
    pixels[:] = np.asarray(image)


def _write(
    draw: ImageDraw.ImageDraw, place: tuple[float, float, str], text: str, size: float, look: Look
) -> None:
    x, y, anchor = place
    draw.text((x, y), text, fill=(look.ink,) * 3, font=ImageFont.load_default(max(6.0, size)), anchor=anchor)


def _print_arrows(
    draw: ImageDraw.ImageDraw, nodes: Nodes, first: tuple[int, int], chart: tuple[int, int], look: Look
) -> None:
    """A filled triangle outside each edge, pointing at the middle of the chart if this sheet shows it."""
    pitch = float(nodes[0, 1, 0] - nodes[0, 0, 0])
    gap, high, half = 0.22 * pitch, 0.6 * pitch, 0.38 * pitch
    column, row = chart[0] / 2 - first[0], chart[1] / 2 - first[1]
    left, top = nodes[0, 0].tolist()
    right, bottom = nodes[-1, -1].tolist()
    if 0 < column < nodes.shape[1] - 1:
        x = left + column * pitch
        for edge, away in ((top, -1), (bottom, 1)):
            tip = edge + away * gap
            draw.polygon(
                [(x, tip), (x - half, tip + away * high), (x + half, tip + away * high)],
                fill=(look.ink,) * 3,
            )
    if 0 < row < nodes.shape[0] - 1:
        y = top + row * pitch
        for edge, away in ((left, -1), (right, 1)):
            tip = edge + away * gap
            draw.polygon(
                [(tip, y), (tip + away * high, y - half), (tip + away * high, y + half)],
                fill=(look.ink,) * 3,
            )

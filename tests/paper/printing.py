"""Print charts on sheets for tests and keep the truth: grid, bold lines, signs, back stitch, edges."""

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.paper.charts import Codes, Content, Steps, invented
from tests.paper.edges import print_edges
from tests.paper.looks import Look, look_by_chance
from tests.paper.stitching import print_points, print_steps
from tests.paper.symbols import FAMILIES, Sign, drawn_signs

PITCH = 40
"""Pixels a square on the printed page, before it is scanned or photographed."""


@dataclass(frozen=True)
class Paper:
    """On what a chart is printed: ``across`` x ``down`` sheets, ``overlap`` squares on both neighbours."""

    across: int = 1
    down: int = 1
    overlap: int = 0
    look: Look | None = None
    line_share: float = 0.05
    families: tuple[str, ...] = FAMILIES


@dataclass(frozen=True)
class Page:
    """One printed sheet and its truth.

    ``pixels`` (H, W, 3) uint8 RGB. ``nodes`` (rows + 1, columns + 1, 2) float64: the crossings in page
    pixels, whole numbers being pixel centres. ``content`` is what this sheet shows, counted from its own
    corner; ``first`` is the chart's column and row that the sheet begins with. ``heavy_columns`` and
    ``heavy_rows`` number the sheet's own lines that are printed bold, 0 being the left or top edge.
    """

    pixels: NDArray[np.uint8]
    nodes: NDArray[np.float64]
    content: Content
    first: tuple[int, int]
    heavy_columns: tuple[int, ...]
    heavy_rows: tuple[int, ...]
    look: Look
    pitch: int = PITCH


@dataclass(frozen=True)
class PrintedChart:
    """A chart on its sheets, row by row; ``signs[n - 1]`` is the sign of code n."""

    content: Content
    signs: list[Sign]
    pages: list[Page]
    paper: Paper = field(default_factory=Paper)


@dataclass(frozen=True)
class Cut:
    """The part of a chart that one sheet shows: first and past-the-last column and row, what is shaded."""

    left: int
    top: int
    right: int
    bottom: int
    shaded_columns: tuple[int, ...]
    shaded_rows: tuple[int, ...]


def printed_sheets(
    columns: int, rows: int, signs: int, seed: int, paper: Paper | None = None
) -> PrintedChart:
    """A chart invented from ``seed``, printed on the sheets of ``paper``, the same for the same call."""
    paper = paper or Paper()
    drawn = drawn_signs(signs, seed, paper.families)
    content = invented(columns, rows, signs, seed, paper.line_share)
    return print_chart(content, drawn, paper, seed)


def print_chart(content: Content, signs: list[Sign], paper: Paper, seed: int = 0) -> PrintedChart:
    """The given chart in the given signs, printed on the sheets of ``paper``."""
    look = paper.look or look_by_chance(seed)
    rows, columns = content.codes.shape
    across = _cuts(columns, paper.across, paper.overlap)
    down = _cuts(rows, paper.down, paper.overlap)
    tiles = _tiles(signs, look)
    pages = [
        _page(content, tiles, Cut(left, top, right, bottom, shaded, levels), look)
        for top, bottom, levels in down
        for left, right, shaded in across
    ]
    return PrintedChart(content, signs, pages, paper)


def _cuts(length: int, sheets: int, overlap: int) -> list[tuple[int, int, tuple[int, ...]]]:
    """First and past-the-last square of each sheet, and which of them an earlier sheet shows too."""
    each = -(-(length + (sheets - 1) * overlap) // sheets)
    cuts = []
    for sheet in range(sheets):
        first = sheet * (each - overlap)
        cuts.append((first, min(length, first + each), tuple(range(overlap if sheet else 0))))
    return cuts


def _tiles(signs: list[Sign], look: Look) -> NDArray[np.uint8]:
    """What each code lets shine through, (signs + 1, PITCH, PITCH): 255 for paper."""
    light = np.full((len(signs) + 1, PITCH, PITCH), 255, np.uint8)
    for code, sign in enumerate(signs, 1):
        small = cv2.resize(sign.ink, (PITCH, PITCH), interpolation=cv2.INTER_AREA)
        light[code] = 255 - (small.astype(np.float32) * (255 - look.ink) / 255).round().astype(np.uint8)
    return light


def _page(content: Content, tiles: NDArray[np.uint8], cut: Cut, look: Look) -> Page:
    """One sheet: white paper, shades, grid, signs, lines and points, then what stands around the grid."""
    part = _part(content, cut)
    rows, columns = part.codes.shape
    left, top, right, bottom = (round(margin * PITCH) for margin in look.margins)
    pixels = np.full((top + rows * PITCH + bottom, left + columns * PITCH + right, 3), 255, np.uint8)
    grid = pixels[top : top + rows * PITCH, left : left + columns * PITCH]
    _shade(grid, part.codes, cut, look)
    heavy = _heavy(cut.left, columns, look, 0), _heavy(cut.top, rows, look, 1)
    _rule(pixels, (left, top), (columns, rows), heavy, look)
    signs = tiles[part.codes].transpose(0, 2, 1, 3).reshape(rows * PITCH, columns * PITCH)
    cv2.multiply(grid, cv2.cvtColor(signs, cv2.COLOR_GRAY2RGB), grid, 1 / 255)
    corner = np.array([left, top], np.float64) - 0.5
    print_steps(pixels, part.steps.astype(np.float64) * PITCH + np.tile(corner, 2), part.dashed, look, PITCH)
    print_points(pixels, part.knots * PITCH + corner, part.beads * PITCH + corner, look, PITCH)
    nodes = np.stack(np.meshgrid(np.arange(columns + 1), np.arange(rows + 1)), axis=2) * PITCH + corner
    page = Page(pixels, nodes, part, (cut.left, cut.top), heavy[0], heavy[1], look)
    chart_rows, chart_columns = content.codes.shape
    print_edges(pixels, nodes, page.first, (chart_columns, chart_rows), look)
    return page


def _part(content: Content, cut: Cut) -> Content:
    """What the sheet shows, counted from its corner; a step that leaves the sheet is left out."""
    corner = np.array([cut.left, cut.top], np.float32)
    size = np.array([cut.right - cut.left, cut.bottom - cut.top], np.float32)

    def inside(points: Steps) -> NDArray[np.bool_]:
        moved = points.reshape(len(points), points.shape[1] // 2, 2) - corner
        return np.asarray(((moved >= 0) & (moved <= size)).all(axis=(1, 2)))

    steps = inside(content.steps)
    return Content(
        codes=content.codes[cut.top : cut.bottom, cut.left : cut.right],
        steps=content.steps[steps] - np.tile(corner, 2),
        dashed=content.dashed[steps],
        knots=content.knots[inside(content.knots)] - corner,
        beads=content.beads[inside(content.beads)] - corner,
    )


def _shade(grid: NDArray[np.uint8], codes: Codes, cut: Cut, look: Look) -> None:
    """Grey behind the columns and rows that an earlier sheet shows too, and behind one area of the chart."""
    for column in cut.shaded_columns:
        grid[:, column * PITCH : (column + 1) * PITCH] = look.repeated_shade
    for row in cut.shaded_rows:
        grid[row * PITCH : (row + 1) * PITCH] = look.repeated_shade
    if look.area_shade < 255:
        area = np.kron(codes == np.bincount(codes.ravel()).argmax(), np.ones((PITCH, PITCH), np.bool_))
        grid[area] = look.area_shade


def _heavy(first: int, squares: int, look: Look, axis: int) -> tuple[int, ...]:
    """The sheet's own lines that are bold, counted from its edge; both edges are drawn strong but not counted
    unless a bold line falls there."""
    if not look.bold_every:
        return ()
    return tuple(
        line for line in range(squares + 1) if (first + line - look.bold_from[axis]) % look.bold_every == 0
    )


def _rule(
    pixels: NDArray[np.uint8],
    corner: tuple[int, int],
    size: tuple[int, int],
    heavy: tuple[tuple[int, ...], tuple[int, ...]],
    look: Look,
) -> None:
    """Draw thin lines first, then bold ones, then the edge."""
    for bold in (False, True):
        for axis, canvas in ((0, pixels.transpose(1, 0, 2)), (1, pixels)):
            span = slice(
                corner[1 - axis] - round(look.edge * PITCH / 2),
                corner[1 - axis] + size[1 - axis] * PITCH + round(look.edge * PITCH / 2),
            )
            for line in range(size[axis] + 1):
                at_edge = line in (0, size[axis])
                if bold == (at_edge or line in heavy[axis]):
                    width = look.edge if at_edge else look.bold if bold else look.thin
                    colour = look.bold_colour if bold else look.thin_colour
                    _line(canvas[:, span], corner[axis] + line * PITCH, width * PITCH, colour)


def _line(canvas: NDArray[np.uint8], middle: float, width: float, colour: tuple[int, int, int]) -> None:
    """A line along the second axis, its soft edges by the share of each pixel that it covers."""
    first, last = middle - width / 2, middle + width / 2
    for pixel in range(int(np.floor(first)), int(np.ceil(last))):
        share = min(pixel + 1.0, last) - max(float(pixel), first)
        paper = canvas[pixel].astype(np.float32)
        inked = paper * (1 - share) + np.array(colour, np.float32) * share
        canvas[pixel] = np.minimum(paper, inked).round()

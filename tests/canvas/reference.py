"""A plain drawing of a chart, square by square, written for the tests from the description alone.

It knows fills, grid lines, bold lines, the dimming and the desk. What it does not know (symbols,
crosses, corner marks, arrows, stitches over the squares) it leaves out of the comparison.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.looks import Look
from stitchview.canvas.showing import Showing
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE

Rgb = NDArray[np.float64]

GRID_FROM, BOLD_FROM, BROAD_BOLD_FROM, SYMBOL_FROM = 5, 3, 10, 7
BORDER, EDGE, ARROW_REACH = 2, 4, 14
# How near colours must be: mixing twice may round twice.
TOLERANCE = 1


@dataclass(frozen=True)
class Window:
    """Where the chart lies: whole pixels a square, the chart's corner at (`x`, `y`), the window's size."""

    pitch: int
    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True)
class Told:
    """A drawing: colours of shape (height, width, 3), and which of them are known."""

    colours: Rgb
    known: NDArray[np.bool_]

    def compare(self, shown: NDArray[np.uint32]) -> None:
        """Compare with a picture, RGB32 of the same shape; the last row and column may be missing."""
        height, width = shown.shape
        assert self.known.shape[0] - height in (0, 1)
        assert self.known.shape[1] - width in (0, 1)
        parts = np.stack([shown >> shift & 0xFF for shift in (16, 8, 0)], -1).astype(np.float64)
        known, colours = self.known[:height, :width], self.colours[:height, :width]
        places = np.argwhere(known & (np.abs(parts - colours).max(-1) > TOLERANCE))
        assert not len(places), (
            f"{len(places)} pixels of {known.sum()} differ, the first at row, column {places[0]}: "
            f"{parts[tuple(places[0])]} and not {colours[tuple(places[0])]}"
        )


def painted(chart: Chart, states: NDArray[np.uint8], window: Window, showing: Showing) -> Told:
    """Draw the squares of a chart; `states` has shape (rows, columns)."""
    colours = np.empty((window.height, window.width, 3))
    colours[:] = rgb(showing.look.ground.desk)
    known = np.ones((window.height, window.width), np.bool_)
    for row in range(chart.rows):
        for column in range(chart.columns):
            code = int(chart.squares[row, column]), int(states[row, column])
            picture, sure = _square(chart, code, (column, row), window.pitch, showing)
            _put(picture, colours, window, (column, row))
            _put(sure, known, window, (column, row))
    _forget_frame(chart, window, showing.lit, known)
    return Told(colours, known)


def _square(
    chart: Chart, code: tuple[int, int], square: tuple[int, int], pitch: int, showing: Showing
) -> tuple[Rgb, NDArray[np.bool_]]:
    """Draw one square of key number and state `code`: its picture, and which pixels of it are known."""
    look = showing.look
    picture, sure = _picture(chart, *code, pitch, showing)
    thin = rgb(look.ground.thin) if look.paper else np.array([128.0, 126.0, 122.0])
    share = 1.0 if look.paper else 0.38
    lines = np.zeros((pitch, pitch), np.bool_)
    if pitch >= GRID_FROM:
        lines[0, :] = lines[:, 0] = True
    picture[lines] = mixed(picture[lines], thin, share)
    sure[lines] = True
    if code[1] == LATER and pitch >= SYMBOL_FROM:
        # Its dashes may lie in the corner.
        sure[1:, 1:] = False
    if code[1] in (DONE, FIRST_LEG) and pitch >= SYMBOL_FROM:
        # The mark of a done square runs from corner to corner, under the grid.
        sure[0, -2 - pitch // 8 :] = sure[-2 - pitch // 8 :, 0] = False
    if code[1] == FIRST_LEG and pitch >= SYMBOL_FROM:
        # So does its leg, from the other corner; under the grid to its left all is as if done.
        sure[0, : 2 + pitch // 5] = sure[:, 0] = False
    bold = _bold_lines(*square, pitch, showing)
    picture[bold], sure[bold] = rgb(look.ground.bold), True
    if showing.lit is not None and not showing.lit.holds(*square):
        picture = mixed(picture, rgb(look.ground.dim), look.dim)
    return picture, sure


def _picture(
    chart: Chart, number: int, state: int, pitch: int, showing: Showing
) -> tuple[Rgb, NDArray[np.bool_]]:
    picture, sure = np.empty((pitch, pitch, 3)), np.ones((pitch, pitch), np.bool_)
    look = showing.look
    if number == 0:
        picture[:] = rgb(look.ground.paper)
        return picture, sure
    thread = chart.key[number - 1].colour
    waits = not showing.in_hand and state != DONE and number in showing.held_back
    recedes = waits or showing.in_hand not in (0, number)
    paler = 0.82 if recedes else 0.0
    if pitch < SYMBOL_FROM:
        fills = [
            np.trunc(mixed(far_fill(thread, done, look), rgb(look.ground.paper), paler) + 0.5)
            for done in (False, True)
        ]
        if showing.in_hand in (0, number):
            # Held back, only what is still to do is paler.
            fills[1] = far_fill(thread, True, look)
        return far_form(fills, state, pitch, look), sure
    # Only the corner that no symbol, cross, leg or corner mark reaches is known.
    sure[:] = False
    corner = slice(1, 1 + pitch // 12)
    if state == MISTAKE:
        picture[:] = rgb(look.ground.paper)
        sure[corner, 1:] = pitch >= 12
        return picture, sure
    if state == FIRST_LEG:
        sure[corner, -1 - pitch // 12 : -1] = pitch >= 12
        picture[:] = near_fill(thread, look.worked, look)
        paler = 0.82 if showing.in_hand not in (0, number) or (waits and not look.worked) else 0.0
    else:
        sure[corner, corner] = True
        picture[:] = near_fill(thread, state == DONE, look)
    return mixed(picture, rgb(look.ground.paper), paler), sure


def far_form(fills: list[Rgb], state: int, pitch: int, look: Look) -> Rgb:
    """A square too small for its symbol, pixel by pixel; `fills` is how it is to do and how it is done."""
    picture = np.empty((pitch, pitch, 3))
    for y in range(pitch):
        for x in range(pitch):
            picture[y, x] = _far_pixel(fills, state, (x, y), pitch, look)
    return picture


def _far_pixel(fills: list[Rgb], state: int, place: tuple[int, int], pitch: int, look: Look) -> Rgb:
    x, y = place
    todo, done = fills
    if pitch == 1:
        return {DONE: done, FIRST_LEG: mixed(todo, done, 0.5), MISTAKE: rgb(look.ground.ink)}.get(state, todo)
    if state == DONE:
        return mixed(done, _black_or_white(done), 0.28) if x == pitch - 1 else done
    if state == FIRST_LEG:
        fill = todo if x > y else done
        return mixed(fill, _black_or_white(todo), 0.55) if x == y else fill
    middle = range(pitch // 2, pitch // 2 + (2 if pitch == 6 else 1))
    if state == LATER:
        return _black_or_white(todo) if x in middle and y in middle else todo
    if state == MISTAKE:
        rim = {0} if pitch < GRID_FROM else {0, pitch - 1}
        outside = x == y if pitch == 2 else x in rim or y in rim
        return rgb(look.ground.paper) if outside else rgb(look.ground.ink)
    return todo


def _black_or_white(colour: Rgb) -> Rgb:
    """What stands out from a colour."""
    return np.full(3, 0.0 if colour @ (0.3, 0.6, 0.1) > 128 else 255.0)


def near_fill(thread: Colour, done: bool, look: Look) -> Rgb:
    """The ground of a square large enough for its symbol."""
    paper = rgb(look.ground.paper)
    if done and look.worked:
        return mixed(paper, rgb(thread), 0.16)
    if done:
        return mixed(paper, rgb(look.ground.ink), 0.05) if look.paper else mixed(rgb(thread), paper, 0.78)
    if look.paper:
        return paper
    return mixed(rgb(thread), paper, 0.5) if look.worked else rgb(thread)


def far_fill(thread: Colour, done: bool, look: Look) -> Rgb:
    """The colour of a square too small for a symbol."""
    paper = rgb(look.ground.paper)
    if look.worked:
        return rgb(thread) if done else mixed(rgb(thread), paper, 0.5)
    return mixed(rgb(thread), paper, 0.78) if done else rgb(thread)


def _bold_lines(column: int, row: int, pitch: int, showing: Showing) -> NDArray[np.bool_]:
    bold = np.zeros((pitch, pitch), np.bool_)
    if pitch < BOLD_FROM:
        return bold
    tens = showing.tens
    bold[:, 0] |= _is_tenth(column, tens.column, tens.centre_column)
    bold[0, :] |= _is_tenth(row, tens.row, tens.centre_row)
    if pitch >= BROAD_BOLD_FROM:
        bold[:, -1] |= _is_tenth(column + 1, tens.column, tens.centre_column)
        bold[-1, :] |= _is_tenth(row + 1, tens.row, tens.centre_row)
    return bold


def _is_tenth(line: int, tenth: int, centre: int | None) -> bool:
    """Whether a line is bold: beyond the square in the middle of an odd chart all stand one further on."""
    return (line - tenth - (1 if centre is not None and line > centre else 0)) % 10 == 0


def _put(
    square_picture: NDArray[np.generic],
    whole: NDArray[np.generic],
    window: Window,
    square: tuple[int, int],
) -> None:
    pitch = window.pitch
    x, y = window.x + square[0] * pitch, window.y + square[1] * pitch
    left, top = max(x, 0), max(y, 0)
    right, bottom = min(x + pitch, window.width), min(y + pitch, window.height)
    if left < right and top < bottom:
        whole[top:bottom, left:right] = square_picture[top - y : bottom - y, left - x : right - x]


def _forget_frame(chart: Chart, window: Window, lit: Area | None, known: NDArray[np.bool_]) -> None:
    """Leave out the border and arrows around the chart, and the edges around the band."""
    rims = [(Area(0, 0, chart.columns, chart.rows), ARROW_REACH)]
    if lit is not None:
        rims.append((lit, EDGE))
    for area, reach in rims:
        x, y = window.x + area.column * window.pitch, window.y + area.row * window.pitch
        right, bottom = x + area.columns * window.pitch, y + area.rows * window.pitch
        inside = np.zeros_like(known)
        inside[max(y, 0) : max(bottom, 0), max(x, 0) : max(right, 0)] = True
        around = np.zeros_like(known)
        around[max(y - reach, 0) : max(bottom + reach, 0), max(x - reach, 0) : max(right + reach, 0)] = True
        known &= ~(around & ~inside)


def rgb(colour: Colour) -> Rgb:
    """A colour as an array."""
    return np.array([colour.red, colour.green, colour.blue], np.float64)


def mixed(one: Rgb, other: Rgb, share: float) -> Rgb:
    """One colour with a share of another over it, each sRGB part for itself."""
    return np.asarray(one * (1 - share) + other * share)


def plain_view(view: View) -> Window:
    """Where a view has the chart, for the drawing that knows nothing of views."""
    return Window(int(view.pitch), -view.left, -view.top, view.width, view.height)

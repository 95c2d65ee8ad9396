"""Fit a smooth surface to values that lie on a grid, some of them quite wrong: paper bends, but gently."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

_PER_BEND = 10
_LEAST = 2
_HELD = 1.0
_HELD_ALWAYS = 1e-7
_FREE = 2


@dataclass(frozen=True)
class Surface:
    """Products of Legendre polynomials over rows and columns: ``terms`` (down + 1, across + 1)."""

    terms: NDArray[np.float64]

    def at(self, down: NDArray[np.float64], across: NDArray[np.float64]) -> NDArray[np.float64]:
        """(len(down), len(across)) values; both places run from -1 to 1 over the chart."""
        rows, columns = (count - 1 for count in self.terms.shape)
        return np.asarray(_waves(down, rows) @ self.terms @ _waves(across, columns).T, np.float64)


def shares(count: int) -> NDArray[np.float64]:
    """Places from -1 to 1 of the ends of ``count`` squares."""
    return np.linspace(-1, 1, count + 1)


def middles(count: int) -> NDArray[np.float64]:
    """Places from -1 to 1 of the middles of ``count`` squares."""
    return (np.arange(count) + 0.5) / count * 2 - 1


def surface_of(
    values: NDArray[np.float64],
    weight: NDArray[np.float64],
    places: tuple[NDArray[np.float64], NDArray[np.float64]],
    most: int,
    strays: tuple[float, ...],
) -> Surface:
    """The surface through most of ``values`` (rows, columns), which lie at ``places`` down and across.

    It bends about once in ten squares, ``most`` times at most. The fit is made once for each of ``strays``,
    the distance from the last surface at which a value counts a quarter; the first begins from a plain one.
    """
    down, across = (_waves(place, _bends(len(place), most)) for place in places)
    squares = _products(down), _products(across)
    held = _held(down.shape[1], across.shape[1])
    terms = np.zeros((down.shape[1], across.shape[1]))
    for stray in strays:
        trust = weight / (1 + ((values - down @ terms @ across.T) / stray) ** 2) ** 2
        terms = _solved(down.T @ (trust * values) @ across, squares[0].T @ trust @ squares[1], held)
    return Surface(terms)


def _bends(count: int, most: int) -> int:
    return int(np.clip(count // _PER_BEND, _LEAST, most))


def _waves(place: NDArray[np.float64], bends: int) -> NDArray[np.float64]:
    return np.asarray(np.polynomial.legendre.legvander(place, bends), np.float64)


def _products(waves: NDArray[np.float64]) -> NDArray[np.float64]:
    """(places, terms * terms) every wave times every other."""
    return np.asarray((waves[:, :, None] * waves[:, None, :]).reshape(len(waves), -1))


def _held(down: int, across: int) -> NDArray[np.float64]:
    """How firmly each term is held to nothing, by how often it bends: corners have few neighbours.

    Place, slope and the plainest bends are free.
    """
    rows, columns = np.arange(down)[:, None], np.arange(across)[None]
    often = (rows / max(down - 1, 1)) ** 4 + (columns / max(across - 1, 1)) ** 4
    return np.asarray(np.where(rows + columns > _FREE, _HELD * often, _HELD_ALWAYS).ravel())


def _solved(
    aim: NDArray[np.float64], products: NDArray[np.float64], held: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Least squares, from the weighted sums of all products of two terms down and two across."""
    down, across = aim.shape
    apart = products.reshape(down, down, across, across).transpose(0, 2, 1, 3)
    normal = apart.reshape(down * across, -1)
    firm = np.diag(held * np.trace(normal) / len(normal) + 1e-9)
    return np.asarray(np.linalg.solve(normal + firm, aim.ravel()).reshape(down, across))

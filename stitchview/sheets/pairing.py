"""Pair the rows of a table with its columns one to one, so that the pairs' worth is greatest together."""

import numpy as np
from numpy.typing import NDArray


def best_pairs(worth: NDArray[np.float64]) -> NDArray[np.intp]:
    """For each row of ``worth`` (n, m) the column it is paired with, or -1 where columns are too few.

    No column is given twice, and the sum of the worth of min(n, m) pairs is as great as can be. Shortest
    augmenting paths with prices, row by row (H. W. Kuhn's method of 1955 in the form of cubic time).
    """
    rows, columns = worth.shape
    if rows > columns:
        turned = best_pairs(worth.T)
        pairs = np.full(rows, -1, np.intp)
        pairs[turned] = np.arange(columns)
        return pairs
    cost = -np.asarray(worth, np.float64)
    row_price, column_price = np.zeros(rows), np.zeros(columns)
    holder = np.full(columns, -1, np.intp)
    for row in range(rows):
        _give_a_column(cost, row, (row_price, column_price), holder)
    pairs = np.full(rows, -1, np.intp)
    held = np.flatnonzero(holder >= 0)
    pairs[holder[held]] = held
    return pairs


def _give_a_column(
    cost: NDArray[np.float64],
    row: int,
    prices: tuple[NDArray[np.float64], NDArray[np.float64]],
    holder: NDArray[np.intp],
) -> None:
    """Find the cheapest chain of changes that gives ``row`` a column, and make the changes."""
    row_price, column_price = prices
    columns = len(holder)
    away = np.full(columns, np.inf)
    before = np.full(columns, -1, np.intp)
    seen = np.zeros(columns, np.bool_)
    rows_seen: list[tuple[int, float]] = [(row, 0.0)]
    at, sofar = row, 0.0
    while True:
        step = sofar + cost[at] - row_price[at] - column_price
        closer = ~seen & (step < away)
        away[closer], before[closer] = step[closer], at
        column = int(np.argmin(np.where(seen, np.inf, away)))
        sofar = float(away[column])
        seen[column] = True
        if holder[column] < 0:
            break
        at = int(holder[column])
        rows_seen.append((at, sofar))
    for each, reached in rows_seen:
        row_price[each] += sofar - reached
    column_price[seen] -= sofar - away[seen]
    while True:
        giver = int(before[column])
        holder[column], column = giver, _column_of(holder, giver)
        if giver == row:
            return


def _column_of(holder: NDArray[np.intp], row: int) -> int:
    """The column a row held before this change; -1 for a row that held none."""
    held = np.flatnonzero(holder == row)
    return int(held[0]) if len(held) else -1

"""Empty squares inside worked ground, which hide: they are seen only when the piece is framed."""

import numpy as np

from stitchview.chart.joined import Mask, expanded, labels_of, runs_of_mask
from stitchview.done.change import DONE, FIRST_LEG, MISTAKE
from stitchview.done.marks import Marks


def hidden_squares(marks: Marks) -> Mask:
    """Which squares, flat, are not worked and are shut in by worked ones, edge to edge; O(chart).

    Bare cloth that is shut in counts as well. A square with part stitches is worked once all of them are.
    """
    chart = marks.chart
    worked = np.isin(marks.squares, (DONE, FIRST_LEG, MISTAKE))
    parts, done = chart.parts, np.isin(marks.parts, (DONE, MISTAKE))
    whole = np.zeros(worked.shape, np.bool_)
    whole[parts.rows[done], parts.columns[done]] = True
    whole[parts.rows[~done], parts.columns[~done]] = False
    worked |= whole & (chart.squares == 0)
    runs = runs_of_mask(~worked)
    labels = labels_of(runs)
    rows = runs.rows
    first = runs.starts - rows * runs.width
    open_ended = (
        (rows == 0) | (rows == chart.rows - 1) | (first == 0) | (first + runs.lengths == chart.columns)
    )
    reaches = np.zeros(len(runs), np.bool_)
    reaches[labels[open_ended]] = True
    shut = runs.chosen(~reaches[labels])
    hidden = np.zeros(worked.size, np.bool_)
    hidden[expanded(shut.starts - shut.rows, shut.lengths)] = True
    return hidden

"""Bold lines stand where she counts ten."""

import pytest

from stitchview.follow.numbering import Numbering, tens_lines
from stitchview.ui.display import tens_of


@pytest.mark.parametrize("numbering", Numbering)
@pytest.mark.parametrize(("columns", "rows"), [(60, 50), (75, 64), (120, 98), (9, 300)])
def test_bold_lines_stand_between_tens(numbering: Numbering, columns: int, rows: int) -> None:
    """From each corner they are the lines of ten; from the centre those before it at least."""
    tens = tens_of(columns, rows, numbering)
    for first, size, way in (
        (tens.column, columns, numbering.across),
        (tens.row, rows, numbering.down),
    ):
        counted = set(tens_lines(size, way)) - {0, size}
        drawn = {line for line in range(1, size) if (line - first) % 10 == 0}
        if numbering is Numbering.CENTRE and size % 2:
            # An odd side has a square for its centre; lines after it stand one further on.
            counted = {line for line in counted if line <= size // 2}
            drawn = {line for line in drawn if line <= size // 2}
        assert drawn == counted

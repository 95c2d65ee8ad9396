"""Sheets that the program printed itself are read again, or it is said where the count is not sure."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from stitchview.chart.fileformat import read_chart


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("region", ["10,10,40,50", "20,30,30,40"])
def test_a_printed_part_is_read_or_doubted(
    region: str, repository: Path, tmp_path: Path, say: Callable[..., Any]
) -> None:
    """Thin lines under dense signs hide the grid; a wrong count is never told as if it were sure."""
    sample, printed = repository / "samples" / "harbour-evening.svchart", tmp_path / "part.pdf"
    assert say("print-sheets", sample, printed, "--region", region).code == 0
    told = say("read", printed, "-o", tmp_path / "part.svchart")
    assert told.code == 0, told.complaint
    read = read_chart(tmp_path / "part.svchart")
    columns, rows = map(int, region.split(",")[2:])
    assert (read.columns, read.rows) == (columns, rows) or "check the count" in told.out

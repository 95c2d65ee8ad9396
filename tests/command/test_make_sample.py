"""`make-sample`: a harbour of the size and seed that was asked for."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from stitchview.chart.fileformat import read_chart
from stitchview.chart.harbour.making import make_harbour


def test_the_sample_asked_for_is_made(say: Callable[..., Any], tmp_path: Path) -> None:
    """Columns, rows, threads and seed count; the same call gives the same bytes."""
    asked = ("--columns", 50, "--rows", 40, "--threads", 15, "--seed", 9)
    told = say("make-sample", tmp_path / "a.svchart", *asked)
    assert (told.code, told.out) == (0, "Wrote “a.svchart”: 50 x 40 squares, 15 threads.\n")
    assert say("make-sample", tmp_path / "b.svchart", *asked).code == 0
    assert (tmp_path / "a.svchart").read_bytes() == (tmp_path / "b.svchart").read_bytes()
    expected = make_harbour(50, 40, 15, 9)
    assert np.array_equal(read_chart(tmp_path / "a.svchart").squares, expected.squares)


def test_without_wishes_it_is_a_middling_one(say: Callable[..., Any], tmp_path: Path) -> None:
    """The usual size is 120 x 90 squares."""
    assert say("make-sample", tmp_path / "a.svchart").code == 0
    chart = read_chart(tmp_path / "a.svchart")
    assert (chart.columns, chart.rows) == (120, 90)


@pytest.mark.parametrize(
    ("wish", "code", "told"),
    [
        (("--columns", "5000"), 1, "5,000 columns"),
        (("--rows", "0"), 1, "0 rows"),
        (("--threads", "2001"), 1, "2,001 threads"),
        (("--columns", "wide"), 2, "“wide” is not a whole number"),
        (("--seed", "1.5"), 2, "“1.5” is not a whole number"),
        (("--seed", "9" * 5000), 2, "not a whole number"),
        (("--colour", "red"), 2, "--colour"),
    ],
)
def test_wishes_nobody_can_fulfil(
    say: Callable[..., Any], tmp_path: Path, wish: tuple[str, ...], code: int, told: str
) -> None:
    """One line says what is wrong, and no file is made."""
    answer = say("make-sample", tmp_path / "a.svchart", *wish)
    assert answer.code == code
    assert told in answer.complaint
    assert answer.complaint.count("\n") == 1
    assert not list(tmp_path.iterdir())


def test_a_chart_that_is_there_is_kept(say: Callable[..., Any], harbour_path: Path) -> None:
    """A sample takes the place of a chart only with --replace."""
    before = harbour_path.read_bytes()
    assert say("make-sample", harbour_path).code == 1
    assert harbour_path.read_bytes() == before
    assert say("make-sample", harbour_path, "--replace").code == 0
    assert harbour_path.read_bytes() != before


def test_one_thread_is_told_as_one(say: Callable[..., Any], tmp_path: Path) -> None:
    """One thread is a thread, not "1 threads"."""
    told = say("make-sample", tmp_path / "a.svchart", "--columns", 1, "--rows", 1, "--threads", 1)
    assert told.out == "Wrote “a.svchart”: 1 x 1 squares, 1 thread.\n"
    assert say("facts", tmp_path / "a.svchart").lines[1] == "1 x 1 squares, 1 thread in the key"

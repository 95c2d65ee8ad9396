"""Finding a place from a patch of the cloth, asked from the command line."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from stitchview.chart.fileformat import read_chart


@pytest.fixture
def patch_path(tmp_path: Path, harbour_path: Path) -> Path:
    """Three rows of four squares of the harbour, one of them left open, as text."""
    chart = read_chart(harbour_path)
    cut = chart.squares[20:23, 30:34].tolist()
    rows = ["".join(chart.key[number - 1].code if number else "." for number in row) for row in cut]
    rows[1] = f"{rows[1][:2]} {rows[1][3:]}"
    path = tmp_path / "patch.txt"
    path.write_text("\n".join(rows) + "\n", "utf-8")
    return path


def test_places_agree_with_a_look_at_every_window(
    say: Callable[..., Any], harbour_path: Path, patch_path: Path
) -> None:
    """Every place, with at most one wrong square too, is one that numpy's windows show."""
    squares = read_chart(harbour_path).squares
    wanted, asked = squares[20:23, 30:34].copy(), np.ones((3, 4), bool)
    asked[1, 2] = False
    windows = np.lib.stride_tricks.sliding_window_view(squares, (3, 4))
    wrong = ((windows != wanted) & asked).sum(axis=(2, 3))
    told = say("patch", harbour_path, patch_path, "--one-wrong", "--near", "31,21", "--json")
    members = json.loads(told.out)
    assert told.code == 0
    assert members["right"] == (wrong == 0).sum()
    inside = {
        (place["row"] - 1, place["column"] - 1)
        for place in members["places"]
        if place["wrong"] is None and 1 <= place["column"] <= 57 and 1 <= place["row"] <= 43
    }
    assert inside <= {(int(row), int(column)) for row, column in np.argwhere(wrong == 0)}
    assert (members["places"][0]["column"], members["places"][0]["row"]) == (31, 21)


def test_lines_begin_with_how_many_and_the_nearest(
    say: Callable[..., Any], harbour_path: Path, patch_path: Path
) -> None:
    """A person reads the number of places, and the nearest first."""
    told = say("patch", harbour_path, patch_path, "--near", "31,21")
    assert told.code == 0
    assert "place" in told.lines[0]
    assert told.lines[1].startswith("1. Column 31, row 21")


def test_a_patch_seen_from_behind_is_found_when_that_is_allowed(
    say: Callable[..., Any], harbour_path: Path, patch_path: Path
) -> None:
    """Typed as the back of the cloth shows it, it fits at the same place, and only if asked so."""
    rows = patch_path.read_text("utf-8").splitlines()
    patch_path.write_text("\n".join(row[::-1] for row in rows) + "\n", "utf-8")
    told = say("patch", harbour_path, patch_path, "--near", "31,21", "--behind", "--json")
    places = json.loads(told.out)["places"]
    assert (31, 21, True) in {(each["column"], each["row"], each["mirrored"]) for each in places}
    upright = say("patch", harbour_path, patch_path, "--near", "31,21", "--json")
    assert all(not each["mirrored"] for each in json.loads(upright.out)["places"])


@pytest.mark.parametrize("text", ["", "....\n", "????\n", "\x07\n", "." * 9000])
def test_a_patch_that_is_none_gets_a_sentence(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path, text: str
) -> None:
    """Empty, bare, open, strange and huge patches are refused in one sentence."""
    path = tmp_path / "patch.txt"
    path.write_text(text, "utf-8")
    told = say("patch", harbour_path, path)
    assert told.code != 0
    assert told.out == ""
    assert "patch" in told.complaint
    assert "Traceback" not in told.complaint


def test_a_patch_that_is_not_there_gets_a_sentence(say: Callable[..., Any], harbour_path: Path) -> None:
    """A mistyped name is named."""
    told = say("patch", harbour_path, harbour_path.with_name("no.txt"))
    assert told.code != 0
    assert "no.txt" in told.complaint

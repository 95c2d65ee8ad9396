"""`check`: a sound chart, or all that is wrong with it."""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest


def test_a_sound_chart_is_called_sound(say: Callable[..., Any], harbour_path: Path) -> None:
    """Exit code 0 and one line."""
    told = say("check", harbour_path)
    assert (told.code, told.out) == (0, "“harbour.svchart” is a sound chart.\n")


def test_every_problem_is_told_in_a_line(say: Callable[..., Any], repository: Path, tmp_path: Path) -> None:
    """A row too short and a row too long are both named with their place; exit code 1."""
    folder = tmp_path / "boat"
    shutil.copytree(repository / "samples" / "every-stitch", folder)
    rows = (folder / "squares.txt").read_text("utf-8").splitlines()
    rows[3], rows[7] = rows[3][:-1], rows[7] + "."
    (folder / "squares.txt").write_text("\n".join(rows) + "\n", "utf-8")
    told = say("check", folder)
    assert told.code == 1
    assert len(told.lines) == 2
    assert all(line.startswith("“boat”, squares.txt: row ") for line in told.lines)
    assert "row 4" in told.lines[0]
    assert "row 8" in told.lines[1]


def test_a_missing_chart_is_a_problem_too(say: Callable[..., Any], tmp_path: Path) -> None:
    """The line says that it is not there."""
    told = say("check", tmp_path / "nowhere.svchart")
    assert told.code == 1
    assert told.lines == ["“nowhere.svchart” is not there. Check the name and the folder."]


@pytest.mark.parametrize(
    ("name", "remedy"),
    [
        ("chart.json", "choose the folder in which it lies"),
        ("rose.PNG", "Make one of it with `stitchview convert`"),
        ("rose.csv", "Make one of it with `stitchview convert`"),
        ("rose.txt", "Choose a .svchart file or a chart folder."),
    ],
)
def test_another_file_is_told_what_to_do_with(
    say: Callable[..., Any], tmp_path: Path, name: str, remedy: str
) -> None:
    """What is no chart is said in plain words, and what to do instead."""
    (tmp_path / name).write_text("roses are red", "utf-8")
    told = say("check", tmp_path / name)
    assert told.code == 1
    assert f"“{name}” is not a chart." in told.out
    assert remedy in told.out

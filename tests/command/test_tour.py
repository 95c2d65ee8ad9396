"""`stitchview tour`: what it says when there is no chart, or nowhere to put the pictures."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest


def test_no_chart_is_said_and_no_folder_is_left(say: Callable[..., Any], tmp_path: Path) -> None:
    """A mistyped name of a chart is told as every command tells it, and no empty folder stays behind."""
    told = say("tour", tmp_path / "harbor.svchart", tmp_path / "pictures")
    assert told.code == 1
    assert "“harbor.svchart” is not there" in told.complaint
    assert not (tmp_path / "pictures").exists()


def test_a_folder_without_a_chart_is_not_copied(say: Callable[..., Any], tmp_path: Path) -> None:
    """A folder full of other things is no chart."""
    told = say("tour", tmp_path, tmp_path / "pictures")
    assert told.code == 1
    assert "without chart.json" in told.complaint


def test_pictures_do_not_go_into_a_file(say: Callable[..., Any], harbour_path: Path, tmp_path: Path) -> None:
    """A file where the pictures should go is named, and stays as it is."""
    file = tmp_path / "shopping.txt"
    file.write_text("needles", "utf-8")
    told = say("tour", harbour_path, file)
    assert (told.code, file.read_text("utf-8")) == (1, "needles")
    assert "“shopping.txt” is a file, not a folder." in told.complaint


def test_a_folder_that_cannot_be_made_is_named(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nothing may be written, one sentence says so."""

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    told = say("tour", harbour_path, tmp_path / "pictures")
    assert told.code == 1
    assert "The folder “pictures” cannot be made (Permission denied)." in told.complaint

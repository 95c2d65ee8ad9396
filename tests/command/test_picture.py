"""`stitchview picture`: the region that is asked for, and what it refuses."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image


def test_a_region_is_drawn_at_the_size_asked_for(
    say_aloud: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """Three columns and two rows at twelve pixels a square give 36 x 24 pixels, as Pillow measures them."""
    told = say_aloud("picture", harbour_path, "part.png", "--region", "1,1,3,2", "--pitch", "12")
    assert (told.code, told.out) == (0, "Wrote “part.png”: 36 x 24 pixels.\n")
    with Image.open(tmp_path / "part.png") as picture:
        assert (picture.format, picture.size) == ("PNG", (36, 24))


@pytest.mark.parametrize("region", ["0,1,5,5", "1,0,5,5", "1,1,0,5", "1,1,5,-5"])
def test_squares_are_counted_from_one(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path, region: str
) -> None:
    """There is no column 0 on paper, so a region that begins there is a slip, not a smaller region."""
    told = say("picture", harbour_path, tmp_path / "part.png", f"--region={region}")
    assert told.code == 2
    assert "counted from 1" in told.complaint
    assert not (tmp_path / "part.png").exists()


def test_only_a_png_is_called_a_png(say: Callable[..., Any], harbour_path: Path, tmp_path: Path) -> None:
    """A picture by another name would be one that other programs cannot open."""
    told = say("picture", harbour_path, tmp_path / "harbour.jpg")
    assert (told.code, list(tmp_path.glob("*.jpg"))) == (1, [])
    assert "“harbour.jpg” does not end in .png." in told.complaint

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
    assert (told.code, told.lines[0]) == (0, "Wrote “part.png”: 36 x 24 pixels.")
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


@pytest.mark.usefixtures("qapp")
def test_a_region_is_cut_from_the_whole(say: Callable[..., Any], harbour_path: Path, tmp_path: Path) -> None:
    """Pillow cuts the region out of the picture of the whole piece, and has the same pixels."""
    whole, part = tmp_path / "whole.png", tmp_path / "part.png"
    say("picture", harbour_path, whole, "--pitch", "7", "--finished")
    say("picture", harbour_path, part, "--pitch", "7", "--finished", "--region", "11,6,20,30")
    with Image.open(whole) as all_of, Image.open(part) as some:
        cut = all_of.convert("RGB").crop((70, 35, 70 + 140, 35 + 210))
        assert cut.tobytes() == some.convert("RGB").tobytes()


@pytest.mark.usefixtures("qapp")
def test_a_piece_not_begun_is_pale_and_says_so(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """Nothing done is no fault; a word tells how to see it finished, which is another picture."""
    told = say("picture", harbour_path, tmp_path / "now.png")
    assert told.code == 0
    assert "Nothing is done yet" in told.out
    assert "Nothing" not in say("picture", harbour_path, tmp_path / "then.png", "--finished").out
    assert (tmp_path / "now.png").read_bytes() != (tmp_path / "then.png").read_bytes()


@pytest.mark.parametrize(
    ("wish", "what"),
    [
        (("--look", "paper"), "--look is for the readable chart"),
        (("--done",), "--done is for the readable chart"),
        (("--finished", "--readable-chart"), "A chart is not stitched."),
        (("--region", "500,500,3,3"), "outside the chart"),
        (("--pitch", "0"), "cannot be 0 pixels"),
        (("--pitch", "99999"), "cannot be 99999 pixels"),
    ],
)
@pytest.mark.usefixtures("qapp")
def test_wishes_at_odds_are_refused(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path, wish: tuple[str, ...], what: str
) -> None:
    """One sentence, and no picture."""
    told = say("picture", harbour_path, tmp_path / "piece.png", *wish)
    assert (told.code, list(tmp_path.glob("*.png"))) == (1, [])
    assert what in told.complaint
    assert len(told.complaint.splitlines()) == 1

"""Moving pictures read back by Pillow, frame by frame."""

from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtGui import QColor, QImage

from stitchview.canvas.growing import LAST_MS, chosen_ends, write_frames, write_growing
from stitchview.errors import CommandError

COLOURS = [(200, 30, 30), (30, 200, 30), (30, 30, 200)]


def frames(*numbers: int) -> list[QImage]:
    made = []
    for number in numbers:
        image = QImage(20, 10, QImage.Format.Format_RGB32)
        image.fill(QColor(250, 240, 230))
        for at in range(number + 1):
            image.setPixelColor(3 + at, 4, QColor(*COLOURS[at]))
        made.append(image)
    return made


@pytest.mark.parametrize("ending", [".webp", ".gif"])
def test_every_frame_is_there_and_the_last_one_stays(tmp_path: Path, ending: str) -> None:
    """Three times two frames alike make three pictures; Pillow finds each stitch in each of them."""
    path = tmp_path / f"growing{ending}"
    assert write_growing(frames(0, 0, 1, 1, 2, 2), path) == 3
    with Image.open(path) as found:
        assert found.n_frames == 3  # type: ignore[attr-defined]
        for number in range(3):
            found.seek(number)
            found.load()
            shown = found.convert("RGB")
            assert shown.size == (20, 10)
            for at, colour in enumerate(COLOURS):
                expected = colour if at <= number else (250, 240, 230)
                assert shown.getpixel((3 + at, 4)) == expected
        assert found.info["duration"] == LAST_MS


def test_frames_go_to_a_folder(tmp_path: Path) -> None:
    """Numbered, as they were, and never among other things."""
    assert write_frames(iter(frames(0, 1)), tmp_path / "frames") == 2
    names = sorted(path.name for path in (tmp_path / "frames").iterdir())
    assert names == ["0001.png", "0002.png"]
    with Image.open(tmp_path / "frames" / "0002.png") as found:
        assert found.getpixel((4, 4)) == COLOURS[1]
    with pytest.raises(CommandError, match="is there already"):
        write_frames(frames(0), tmp_path / "frames")


def test_nothing_to_show_and_another_ending_are_told(tmp_path: Path) -> None:
    """Each in a sentence, and no file is left."""
    with pytest.raises(CommandError, match="nothing to show"):
        write_growing([], tmp_path / "a.gif")
    with pytest.raises(CommandError, match="no moving picture"):
        write_growing(frames(0), tmp_path / "a.mp4")
    with pytest.raises(CommandError, match="nothing to show"):
        write_frames([], tmp_path / "frames")
    assert list(tmp_path.iterdir()) == []


def test_of_very_many_moments_some_are_chosen() -> None:
    """The last one is always among them, and they come in order, each once."""
    ends = [number.to_bytes(16, "big") for number in range(1000)]
    chosen = chosen_ends(ends, 50)
    assert len(set(chosen)) == 50
    assert chosen == sorted(chosen)
    assert chosen[-1] == ends[-1]
    assert chosen_ends(ends[:3]) == ends[:3]

"""What no chart can be read from: each is one sentence with what to do, and no chart is written."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pypdfium2  # type: ignore[import-untyped]
import pytest
from numpy.typing import NDArray
from PIL import Image

from stitchview.sheets.opening import MOST_PIXELS
from tests.paper.otherpictures import OTHER_PICTURES
from tests.paper.photographing import photographed
from tests.paper.printing import Paper, printed_sheets

Pixels = NDArray[np.uint8]


def saved(path: Path, colour: Pixels) -> Path:
    """A picture on the disk."""
    assert cv2.imwrite(str(path), colour[..., ::-1])
    return path


def sheet(seed: int, signs: int = 8, families: tuple[str, ...] = ("shapes", "letters")) -> Pixels:
    """A scan of a small sheet, 46 x 40 squares."""
    paper = Paper(families=families)
    return photographed(printed_sheets(46, 40, signs, seed, paper).pages[0], "scan", seed).picture.colour


@pytest.fixture(scope="module")
def scan() -> Pixels:
    """One sheet."""
    return sheet(5)


@pytest.fixture
def refused(tmp_path: Path, say: Callable[..., Any]) -> Callable[..., str]:
    """Read what cannot be read: gives the one sentence that is told."""

    def read(*pictures: Path) -> str:
        told = say("read", *pictures, "-o", tmp_path / "never.svchart")
        assert told.code == 1
        assert told.out == ""
        assert told.complaint.count("\n") == 1
        assert not (tmp_path / "never.svchart").exists()
        return str(told.complaint)

    return read


@pytest.mark.parametrize("what", ["coast", "blank page"])
def test_a_picture_without_a_chart(what: str, refused: Callable[..., str], tmp_path: Path) -> None:
    """A holiday photograph and an empty page show no chart, and a better photograph is asked for."""
    colour = OTHER_PICTURES[what](np.random.default_rng([1, 7]))
    told = refused(saved(tmp_path / "holiday.png", colour))
    assert "holiday.png" in told
    assert "Photograph" in told


def test_a_chart_cut_off_at_the_edge(scan: Pixels, refused: Callable[..., str], tmp_path: Path) -> None:
    """A sheet whose first columns are not in the picture is not read as a smaller chart."""
    assert "cut off at the left edge" in refused(saved(tmp_path / "cut.png", scan[:, scan.shape[1] // 2 :]))


def test_a_picture_of_two_hundred_megapixels(refused: Callable[..., str], tmp_path: Path) -> None:
    """So large a picture is refused by its size, before it is decoded."""
    path = tmp_path / "huge.png"
    Image.new("1", (20_000, 10_000), 1).save(path)
    assert MOST_PIXELS < 200e6
    assert f"huge.png has more than {MOST_PIXELS // 1_000_000} megapixels. Save it smaller" in refused(path)


def test_a_thumbnail(scan: Pixels, refused: Callable[..., str], tmp_path: Path) -> None:
    """A preview of 300 pixels is not guessed at."""
    small = cv2.resize(scan, (300, 300 * scan.shape[0] // scan.shape[1]), interpolation=cv2.INTER_AREA)
    assert "small.png" in refused(saved(tmp_path / "small.png", np.asarray(small, np.uint8)))


def test_a_truncated_photograph(scan: Pixels, refused: Callable[..., str], tmp_path: Path) -> None:
    """A photograph that was not copied to its end is told as such."""
    whole = saved(tmp_path / "whole.jpg", scan).read_bytes()
    (tmp_path / "half.jpg").write_bytes(whole[: len(whole) // 2])
    assert "half.jpg is damaged or was not copied to its end" in refused(tmp_path / "half.jpg")


def test_a_pdf_without_a_chart(refused: Callable[..., str], tmp_path: Path) -> None:
    """A PDF of one empty page shows no chart."""
    document = pypdfium2.PdfDocument.new()
    document.new_page(595, 842)
    document.save(tmp_path / "empty.pdf")
    document.close()
    assert "empty.pdf" in refused(tmp_path / "empty.pdf")


def test_the_same_sheet_twice(scan: Pixels, refused: Callable[..., str], tmp_path: Path) -> None:
    """Two pictures of one sheet, the second turned a little and darker, are not joined to one."""
    high, wide = scan.shape[:2]
    turn = cv2.getRotationMatrix2D((wide / 2, high / 2), 0.4, 1.0)
    turned = cv2.warpAffine(scan, turn, (wide, high), borderMode=cv2.BORDER_REPLICATE)
    darker = (turned * 0.9).astype(np.uint8)
    told = refused(saved(tmp_path / "one.png", scan), saved(tmp_path / "again.png", darker))
    assert "the same sheet is there twice" in told


def test_two_unrelated_sheets(scan: Pixels, refused: Callable[..., str], tmp_path: Path) -> None:
    """A sheet of another chart is named, and nothing is put together."""
    other = saved(tmp_path / "other.png", sheet(23, 14, ("strokes", "dots", "hatchings")))
    told = refused(saved(tmp_path / "first.png", scan), other)
    assert "to tell where it belongs" in told

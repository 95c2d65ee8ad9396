"""Draw the pages of a PDF as pictures of paper, at about 300 dots per inch."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import cv2
import numpy as np
import pypdfium2 as pdfium  # type: ignore[import-untyped]
from numpy.typing import NDArray

from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture

_DOTS_PER_INCH = 300
_POINTS_PER_INCH = 72  # ISO 32000-1, 8.3.2.3: a unit of default user space is 1/72 inch
_SAFE_SIDE = 32_000
# pdfium must not be called from two threads at once, as its makers say; files are read in several.
_pdfium_alone = threading.Lock()


def is_pdf(path: Path) -> bool:
    """Whether a file begins as a PDF does, within its first 1024 bytes."""
    with path.open("rb") as file:
        return b"%PDF-" in file.read(1024)


def pdf_page_count(path: Path) -> int:
    """How many pages a PDF has; raises PaperError where it cannot be opened."""
    with _opened(path) as document:
        return len(document)


def pdf_pages(path: Path, most_pixels: int) -> Iterator[PaperPicture]:
    """Each page in turn, none with more than ``most_pixels``; raises PaperError naming the file."""
    with _opened(path) as document:
        for number in range(len(document)):
            try:
                with _pdfium_alone:
                    colour = _drawn(document, number, most_pixels)
            except (pdfium.PdfiumError, MemoryError) as fault:
                raise PaperError(
                    f"Page {number + 1} of {path.name} is damaged.",
                    "Save the page as a PDF of its own or print and scan it.",
                ) from fault
            grey = np.asarray(cv2.cvtColor(colour, cv2.COLOR_RGB2GRAY), np.uint8)
            yield PaperPicture(path.name, number + 1, colour, grey)


@contextmanager
def _opened(path: Path) -> Iterator[pdfium.PdfDocument]:
    try:
        with _pdfium_alone:
            document = pdfium.PdfDocument(path)
    except pdfium.PdfiumError as fault:
        raise _refused(path, "password" in str(fault).lower()) from fault
    try:
        if not len(document):
            raise PaperError(f"{path.name} has no pages.", "Check that it is the right file.")
        yield document
    finally:
        with _pdfium_alone:
            document.close()


def _refused(path: Path, password: bool) -> PaperError:
    if password:
        return PaperError(
            f"{path.name} is protected by a password.",
            "Open it with its password and save or print it without one.",
        )
    return PaperError(f"{path.name} is not a whole PDF.", "Copy or download it again, or print and scan it.")


def _drawn(document: pdfium.PdfDocument, number: int, most_pixels: int) -> NDArray[np.uint8]:
    """(H, W, 3) uint8 RGB of a page, counted from 0."""
    page = document[number]
    wide, high = page.get_size()
    scale = _DOTS_PER_INCH / _POINTS_PER_INCH
    scale = min(scale, (most_pixels / max(wide * high, 1)) ** 0.5, _SAFE_SIDE / max(wide, high, 1))
    bitmap = page.render(scale=scale, rev_byteorder=True)
    colour = _rgb(bitmap.to_numpy())
    bitmap.close()
    page.close()
    return colour


def _rgb(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """A copy of a bitmap of one, three or four channels as RGB."""
    if pixels.ndim == 2 or pixels.shape[2] == 1:
        return np.asarray(cv2.cvtColor(pixels, cv2.COLOR_GRAY2RGB), np.uint8)
    return np.array(pixels[:, :, :3], np.uint8, order="C")

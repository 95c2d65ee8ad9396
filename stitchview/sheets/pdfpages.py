"""Draw the pages of a PDF as pictures of paper, at about 300 dots per inch."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import cv2
import numpy as np
import pypdfium2 as pdfium  # type: ignore[import-untyped]

from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture

_DOTS_PER_INCH = 300
_POINTS_PER_INCH = 72  # ISO 32000-1, 8.3.2.3: a unit of default user space is 1/72 inch
_SAFE_SIDE = 32_000


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
                page = document[number]
                picture = _drawn(page, path.name, number + 1, most_pixels)
            except pdfium.PdfiumError as fault:
                raise PaperError(
                    f"Page {number + 1} of {path.name} is damaged.",
                    "Save the page as a PDF of its own or print and scan it.",
                ) from fault
            page.close()
            yield picture


@contextmanager
def _opened(path: Path) -> Iterator[pdfium.PdfDocument]:
    try:
        document = pdfium.PdfDocument(path)
    except pdfium.PdfiumError as fault:
        if "password" in str(fault).lower():
            raise PaperError(
                f"{path.name} is protected by a password.",
                "Open it with its password and save or print it without one.",
            ) from fault
        raise PaperError(
            f"{path.name} is not a whole PDF.", "Copy or download it again, or print and scan it."
        ) from fault
    try:
        if not len(document):
            raise PaperError(f"{path.name} has no pages.", "Check that it is the right file.")
        yield document
    finally:
        document.close()


def _drawn(page: pdfium.PdfPage, name: str, number: int, most_pixels: int) -> PaperPicture:
    wide, high = page.get_size()
    scale = _DOTS_PER_INCH / _POINTS_PER_INCH
    scale = min(scale, (most_pixels / max(wide * high, 1)) ** 0.5, _SAFE_SIDE / max(wide, high, 1))
    bitmap = page.render(scale=scale, rev_byteorder=True)
    pixels = np.array(bitmap.to_numpy(), np.uint8)
    bitmap.close()
    colour = np.ascontiguousarray(pixels[:, :, :3]) if pixels.ndim == 3 and pixels.shape[2] > 1 else None
    if colour is None:
        colour = np.asarray(cv2.cvtColor(pixels.reshape(pixels.shape[:2]), cv2.COLOR_GRAY2RGB), np.uint8)
    grey = np.asarray(cv2.cvtColor(colour, cv2.COLOR_RGB2GRAY), np.uint8)
    return PaperPicture(name, number, colour, grey)

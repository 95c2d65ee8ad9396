"""Open files with pictures of paper: photographs, scans and PDF pages, upright and in memory."""

import struct
import threading
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps, UnidentifiedImageError

from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.pdfpages import is_pdf, pdf_page_count, pdf_pages

try:
    from pillow_heif import register_heif_opener
except ImportError:  # the extra "heic" is not installed
    register_heif_opener = None  # type: ignore[assignment]

MOST_PIXELS = 89_000_000
LEAST_SIDE = 320
# A phone's JPEG with a second picture behind it (MPO) is opened by the reader of JPEG.
_KINDS = ("JPEG", "PNG", "TIFF", "BMP", "WEBP", "GIF")
_HEIC_BRANDS = (b"heic", b"heix", b"mif1", b"msf1", b"hevc", b"heim", b"heis")
# What Pillow's readers raise on damaged files, from its own tests and experience.
_DAMAGE = (OSError, SyntaxError, ValueError, EOFError, struct.error, zlib.error, TypeError, IndexError)
_decoding = threading.Lock()


def open_pictures(path: Path) -> Iterator[PaperPicture]:
    """Every picture of a file in turn: one, the frames of a TIFF, or the pages of a PDF at about 300 dpi.

    Raises PaperError, naming the file, where it is not a picture, damaged, too large or too small.
    """
    if is_pdf(_readable(path)):
        yield from pdf_pages(path, MOST_PIXELS)
        return
    with _opened(path) as image:
        for frame in range(_frames(path, image)):
            yield _picture(path, image, frame)


def picture_count(path: Path) -> int:
    """How many pictures `open_pictures` gives, without decoding them; raises PaperError like it."""
    if is_pdf(_readable(path)):
        return pdf_page_count(path)
    with _opened(path) as image:
        return _frames(path, image)


def _readable(path: Path) -> Path:
    if path.is_dir():
        raise PaperError(f"{path.name} is a folder.", "Choose the pictures in it.")
    try:
        with path.open("rb") as file:
            if not file.read(1):
                raise PaperError(f"{path.name} is empty.", "Copy it again from the camera or scanner.")
    except FileNotFoundError as fault:
        raise PaperError(f"{path.name} is not there.", "Check the name and the folder.") from fault
    except OSError as fault:
        reason = fault.strerror or str(fault)
        raise PaperError(
            f"{path.name} cannot be read ({reason}).", "Copy it to a folder of your own and try again."
        ) from fault
    return path


@contextmanager
def _alone() -> Iterator[None]:
    """One file at a time: filters of warnings belong to the whole program, and memory is not endless."""
    with _decoding, warnings.catch_warnings():
        # Pillow warns of faults in what cameras write beside the picture; the picture itself may be whole.
        warnings.simplefilter("ignore", UserWarning)
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        yield


def _opened(path: Path) -> Image.Image:
    """The picture, not decoded yet."""
    kinds = list(_KINDS)
    if register_heif_opener is not None:
        register_heif_opener()
        kinds.append("HEIF")
    try:
        with _alone():
            image = Image.open(path, formats=kinds)
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as fault:
        raise _too_large(path) from fault
    except UnidentifiedImageError as fault:
        raise _not_a_picture(path) from fault
    except _DAMAGE as fault:
        raise _damaged(path) from fault
    if image.width * image.height > MOST_PIXELS:
        image.close()
        raise _too_large(path)
    return image


def _frames(path: Path, image: Image.Image) -> int:
    """Frames that are pages: those of a TIFF; phones hide previews behind the first one of other kinds."""
    if image.format != "TIFF":
        return 1
    try:
        with _alone():
            return int(getattr(image, "n_frames", 1))
    except (*_DAMAGE, KeyError) as fault:
        raise _damaged(path) from fault


def _picture(path: Path, image: Image.Image, frame: int) -> PaperPicture:
    try:
        with _alone():
            colour = _decoded(path, image, frame)
    except (MemoryError, Image.DecompressionBombWarning, Image.DecompressionBombError) as fault:
        raise _too_large(path) from fault
    except (*_DAMAGE, KeyError) as fault:
        raise _damaged(path) from fault
    if max(colour.shape[:2]) < 1.5 * LEAST_SIDE or min(colour.shape[:2]) < LEAST_SIDE // 2:
        raise PaperError(
            f"{path.name} is only {colour.shape[1]} x {colour.shape[0]} pixels, too small to read.",
            "Use the picture as the camera or scanner saved it, not a preview of it.",
        )
    grey = np.asarray(cv2.cvtColor(colour, cv2.COLOR_RGB2GRAY), np.uint8)
    return PaperPicture(path.name, frame + 1, colour, grey)


def _decoded(path: Path, image: Image.Image, frame: int) -> NDArray[np.uint8]:
    """(H, W, 3) uint8 RGB of a frame, turned as its EXIF says."""
    if frame:
        image.seek(frame)
    if image.width * image.height > MOST_PIXELS:
        raise _too_large(path)
    image.load()
    ImageOps.exif_transpose(image, in_place=True)
    return _colours(image)


def _colours(image: Image.Image) -> NDArray[np.uint8]:
    """(H, W, 3) uint8 RGB of a picture of any mode; see-through places become white paper."""
    if image.mode.startswith(("I", "F")):
        values = np.asarray(image, np.float32)
        top = 65535.0 if values.max(initial=0.0) > 255 else 255.0
        grey = np.clip(values * (255.0 / top), 0, 255).astype(np.uint8)
        return np.repeat(grey[:, :, None], 3, axis=2)
    if image.mode in {"RGBA", "LA", "PA", "RGBa", "La"} or "transparency" in image.info:
        image = image.convert("RGBA")
        image = Image.alpha_composite(Image.new("RGBA", image.size, "white"), image)
    return np.array(image if image.mode == "RGB" else image.convert("RGB"), np.uint8)


def _not_a_picture(path: Path) -> PaperError:
    with path.open("rb") as file:
        start = file.read(16)
    if start[4:8] == b"ftyp" and start[8:12] in _HEIC_BRANDS:
        return PaperError(
            f"{path.name} is a HEIC picture, which this installation cannot open.",
            "Install pillow-heif, or save the photograph as JPEG.",
        )
    return PaperError(
        f"{path.name} is not a picture that can be opened.",
        "Use a JPEG, PNG or TIFF picture, or a PDF.",
    )


def _damaged(path: Path) -> PaperError:
    return PaperError(
        f"{path.name} is damaged or was not copied to its end.",
        "Copy it again from the camera or scanner, or take the picture once more.",
    )


def _too_large(path: Path) -> PaperError:
    return PaperError(
        f"{path.name} has more than {MOST_PIXELS // 1_000_000} megapixels.",
        "Save it smaller, scan with 300 dots per inch, or take the sheet in several overlapping pictures.",
    )

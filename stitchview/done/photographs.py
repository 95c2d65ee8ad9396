"""Photographs of the cloth, copied into a folder beside the chart: put there, found again, told when gone.

They are copied, because what a note points at on a camera's card or in a download folder is gone next
month; they lie in a folder of their own beside the chart, so that they travel with it and she sees them.
"""

import contextlib
import hashlib
import io
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import tzinfo
from enum import StrEnum
from pathlib import Path

from PIL import Image

from stitchview.chart.inputfile import read_plain
from stitchview.chart.limits import MOST_PICTURE_BYTES
from stitchview.done.ids import new_name
from stitchview.done.joining import Piece
from stitchview.done.sittingnotes import ClothPhoto
from stitchview.done.sittings import Sitting, day_of
from stitchview.errors import ChartError, StitchviewError
from stitchview.safefile import write_bytes

try:
    from pillow_heif import register_heif_opener
except ImportError:  # the extra "heic" is not installed
    register_heif_opener = None  # type: ignore[assignment]

FOLDER_ENDING = " photographs"
KINDS = {"JPEG": "jpg", "MPO": "jpg", "PNG": "png", "WEBP": "webp", "TIFF": "tif", "HEIF": "heic"}
"""What Pillow calls the pictures that are taken, and the endings they get."""
READERS = ("JPEG", "PNG", "WEBP", "TIFF")
# A phone's JPEG with a second picture behind it (MPO) is opened by the reader of JPEG.
MOST_PIXELS = 200_000_000
NAME_LETTERS = 12
DAMAGE = (OSError, SyntaxError, ValueError, EOFError, struct.error, zlib.error, TypeError, IndexError)
"""What Pillow's readers raise on damaged files, from its own tests."""


class PhotoState(StrEnum):
    """Whether a photograph is where it was put."""

    THERE = "there"
    MISSING = "missing"
    ALTERED = "altered"


@dataclass(frozen=True, slots=True)
class FoundPhoto:
    """A photograph that a note tells of: where it lies (None if missing), and whether it is the same."""

    photo: ClothPhoto
    state: PhotoState
    path: Path | None = None

    @property
    def sentence(self) -> str:
        """What to say where it is not as it was; empty where it is."""
        if self.state is PhotoState.MISSING:
            return f"The photograph “{self.photo.file}” is not there any more."
        if self.state is PhotoState.ALTERED:
            return f"The photograph “{self.photo.file}” was altered since it was added."
        return ""


def photo_folder(piece: Piece) -> Path:
    """Where photographs of a piece are put: beside its chart."""
    return piece.path.parent / f"{piece.owner.name}{FOLDER_ENDING}"


def add_photo(piece: Piece, source: Path, sitting: Sitting, zone: tzinfo | None = None) -> ClothPhoto:
    """Copy a photograph into the piece's folder and give the note that tells of it, to be put in.

    The copy is named after the sitting's day and its content, byte for byte as it was. Where nothing can
    be written beside the chart it lies in her data folder. Raises `StitchviewError` in one sentence for
    what is no picture, too large, or cannot be written.
    """
    content = _content(source)
    ending = _kind_of(source, content)
    told = hashlib.sha256(content).hexdigest()
    name = f"{day_of(sitting, zone).isoformat()} {told[:NAME_LETTERS]}.{ending}"
    _write(piece, name, content)
    return ClothPhoto(new_name(), sitting.first.hex(), name, told, len(content))


def find_photo(piece: Piece, photo: ClothPhoto) -> FoundPhoto:
    """Look for a photograph where photographs of the piece may lie, also under an older name of the chart."""
    altered: Path | None = None
    for folder in _folders(piece):
        path = folder / photo.file
        with contextlib.suppress(OSError, ChartError):
            if path.is_file():
                same = path.stat().st_size == photo.size and _digest(path) == photo.sha256
                if same:
                    return FoundPhoto(photo, PhotoState.THERE, path)
                altered = altered or path
    return FoundPhoto(photo, PhotoState.ALTERED if altered else PhotoState.MISSING, altered)


def _folders(piece: Piece) -> Iterator[Path]:
    yield photo_folder(piece)
    yield _own_folder(piece)
    # The chart may have been renamed, and the folder not.
    with contextlib.suppress(OSError):
        for folder in sorted(piece.path.parent.iterdir()):
            if folder.name.endswith(FOLDER_ENDING) and folder.is_dir():
                yield folder


def _own_folder(piece: Piece) -> Path:
    told = (piece.chart.identity or str(piece.path.absolute())).encode("utf-8", "surrogatepass")
    return piece.fallback_folder / "photographs" / hashlib.sha256(told).hexdigest()[:24]


def _content(source: Path) -> bytes:
    try:
        return read_plain(source, MOST_PICTURE_BYTES)
    except ChartError as error:
        raise StitchviewError(error.what, "Choose another photograph.") from error


def _kind_of(source: Path, content: bytes) -> str:
    """The ending for a picture of a kind that can be shown; raises `StitchviewError` for anything else."""
    try:
        with opened_photo(content) as image:
            if image.width * image.height > MOST_PIXELS:
                raise StitchviewError(f"“{source.name}” has too many pixels.", "Choose a smaller photograph.")
            image.verify()
            return KINDS[str(image.format)]
    except (*DAMAGE, Image.DecompressionBombError) as error:
        raise StitchviewError(
            f"“{source.name}” is no photograph that can be shown here, or is damaged.",
            "Choose a JPEG, PNG, WebP, TIFF or HEIC picture (HEIC needs pillow-heif).",
        ) from error


def opened_photo(content: bytes) -> Image.Image:
    """A photograph, not decoded yet; raises one of `DAMAGE` or Pillow's bomb error for what is none.

    Telephones' HEIC needs pillow-heif, as charts photographed so do.
    """
    kinds = list(READERS)
    if register_heif_opener is not None:
        register_heif_opener()
        kinds.append("HEIF")
    return Image.open(io.BytesIO(content), formats=kinds)


def _write(piece: Piece, name: str, content: bytes) -> None:
    last: StitchviewError | None = None
    for folder in (photo_folder(piece), _own_folder(piece)):
        try:
            folder.mkdir(parents=True, exist_ok=True)
            write_bytes(folder / name, content)
        except StitchviewError as error:
            last = error
        except OSError as error:
            reason = (error.strerror or str(error)).rstrip(".").lower()
            last = StitchviewError(
                f"The folder “{folder.name}” cannot be made ({reason}).",
                "Free some space, or move the chart.",
            )
        else:
            return
    assert last is not None
    raise last


def _digest(path: Path) -> str:
    return hashlib.sha256(read_plain(path, MOST_PICTURE_BYTES)).hexdigest()

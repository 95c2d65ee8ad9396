"""The piece growing: its pictures at one time after the other, as a moving picture or a folder of frames."""

import io
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import numpy as np
from PIL import Image
from PySide6.QtGui import QImage

from stitchview.canvas.picture import png_of
from stitchview.errors import CommandError
from stitchview.safefile import replacing_all, write_bytes

FORMATS = {".webp": "WEBP", ".gif": "GIF"}
FRAME_MS, LAST_MS = 250, 2500
"""How long each picture stays, and how long the last one does, so that she can look at it."""
MOST_FRAMES = 120


def write_growing(frames: Iterable[QImage], path: Path) -> int:
    """Write frames of one size as an animated WebP or GIF, by the ending of `path`; gives how many.

    Frames that look alike follow one another only once. Raises `CommandError` for another ending or for
    nothing to show, `StitchviewError` where the file cannot be written.
    """
    kind = FORMATS.get(path.suffix.lower())
    if kind is None:
        raise CommandError(
            f"“{path.name}” is no moving picture.", "Choose a name that ends in .webp or .gif."
        )
    pictures = [_pillow(each) for each in _unlike(frames)]
    if not pictures:
        raise CommandError("There is nothing to show yet.", "Mark some stitches first.")
    times = [FRAME_MS] * (len(pictures) - 1) + [LAST_MS]
    content = io.BytesIO()
    wishes = {"lossless": True, "method": 2} if kind == "WEBP" else {"optimize": False, "disposal": 1}
    pictures[0].save(
        content, kind, save_all=True, append_images=pictures[1:], duration=times, loop=0, **wishes
    )
    write_bytes(path, content.getvalue())
    return len(pictures)


def write_frames(frames: Iterable[QImage], folder: Path) -> int:
    """Write frames as numbered PNG files into a new or empty folder; gives how many."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise CommandError(f"“{folder.name}” is there already.", "Choose a new or an empty folder.")
    contents = {folder / f"{number:04d}.png": png_of(each) for number, each in enumerate(_unlike(frames), 1)}
    if not contents:
        raise CommandError("There is nothing to show yet.", "Mark some stitches first.")
    replacing_all(contents)
    return len(contents)


def chosen_ends(ends: Sequence[bytes], most: int = MOST_FRAMES) -> list[bytes]:
    """At most so many of the moments, evenly spread, the last one always among them."""
    if len(ends) <= most:
        return list(ends)
    at = np.linspace(0, len(ends) - 1, most).round().astype(int)
    return [ends[each] for each in at.tolist()]


def _unlike(frames: Iterable[QImage]) -> Iterator[QImage]:
    before: QImage | None = None
    for frame in frames:
        if before is None or frame != before:
            yield frame
        before = frame


def _pillow(image: QImage) -> Image.Image:
    plain = image.convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(plain.constBits(), np.uint8).reshape(plain.height(), plain.bytesPerLine())
    return Image.fromarray(rows[:, : 3 * plain.width()].reshape(plain.height(), plain.width(), 3).copy())


def pillow_as_qt(image: Image.Image) -> QImage:
    """A picture that Pillow read, of kind RGB, for the screen."""
    rows = image.tobytes()
    return QImage(rows, image.width, image.height, 3 * image.width, QImage.Format.Format_RGB888).copy()

"""What the diary does beside the window: reads the strokes, reckons, draws small pictures, writes files."""

import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageOps
from PySide6.QtGui import QImage

from stitchview.canvas.basketpicture import small_new_picture
from stitchview.canvas.clothpicture import ClothWish, new_picture, now_picture
from stitchview.canvas.desk import Desk
from stitchview.canvas.growing import chosen_ends, pillow_as_qt, write_frames, write_growing
from stitchview.canvas.newpictures import Between, Shown, picture_of
from stitchview.canvas.picture import save_png
from stitchview.chart.model import Chart
from stitchview.done.counts import Progress
from stitchview.done.deflated import MalformedStroke
from stitchview.done.diary import Diary, Since
from stitchview.done.joining import Piece
from stitchview.done.ledger import Ledger
from stitchview.done.notebook import Notes
from stitchview.done.photographs import DAMAGE, FoundPhoto, add_photo, find_photo, opened_photo
from stitchview.done.sittingnotes import ClothPhoto
from stitchview.done.sittings import Pauses, Sitting
from stitchview.done.timeline import Arrays
from stitchview.errors import LayerError
from stitchview.ui.diary.diarybook import DiaryBook

SHOWN_PIXELS, GROWING_PIXELS = 700, 900
"""Pixels at the longer side: on the page, and in a moving picture."""
THUMB_PIXELS = 240
ROWS_AT_ONCE = 1000


@dataclass(frozen=True, eq=False, slots=True)
class Shot:
    """What is new since a moment, in words and as a small picture."""

    begin: bytes
    since: Since
    words: str
    image: QImage


@dataclass(frozen=True, eq=False, slots=True)
class Thumb:
    """A photograph of a sitting, and a small picture of it where it can be shown."""

    found: FoundPhoto
    image: QImage | None


class DiaryReader:
    """Called in the diary's thread only, but for `__init__`; `states` of the desk are never touched."""

    def __init__(self, desk: Desk, piece: Piece) -> None:
        self._desk, self._piece = desk, piece
        self._ledger = Ledger(desk.chart)
        self._ended = threading.Event()

    def end(self) -> None:
        """Let what is being reckoned stop soon, because the chart is being closed."""
        self._ended.set()

    def book(self, notes: Notes, now: Progress, pauses: Pauses) -> DiaryBook:
        """The diary with all strokes there are; O(new strokes) but for reading them. Raises `LayerError`."""
        rows = self._desk.strokes()
        try:
            # From where it stopped: told of fewer strokes than it knows, it would begin anew.
            for end in (*range(self._ledger.count + ROWS_AT_ONCE, len(rows), ROWS_AT_ONCE), len(rows)):
                if self._ended.is_set():
                    raise LayerError("The chart was closed.", "Open it again.")
                self._ledger.take(rows[:end])
        except MalformedStroke as error:
            raise LayerError("A stroke makes no sense.", "Close the chart and open it again.") from error
        diary = Diary(self._desk.chart, rows, notes, pauses)
        return DiaryBook(diary, now, self._ledger.by_sitting(diary.sittings), notes.time_pins)

    def shot(self, book: DiaryBook, begin: bytes) -> Shot:
        """What is new since a moment."""
        since, chart = book.since(begin), book.diary.chart
        if max(chart.columns, chart.rows) > SHOWN_PIXELS:
            image = small_new_picture(chart, since.before, since.after, SHOWN_PIXELS)
        else:
            image = new_picture(chart, since.before, since.after, wish_for(chart, SHOWN_PIXELS))
        return Shot(begin, since, book.words(since, begin), image)

    def thumbs(self, photos: Sequence[ClothPhoto]) -> tuple[Thumb, ...]:
        """Photographs of a sitting as they are found now."""
        found = (find_photo(self._piece, each) for each in photos)
        return tuple(Thumb(each, None if each.path is None else _thumb(each.path)) for each in found)

    def add_photo(self, source: Path, sitting: Sitting) -> ClothPhoto:
        """Copy a photograph beside the chart; raises `StitchviewError`."""
        return add_photo(self._piece, source, sitting)


def save_picture(between: Between, shown: Shown, pixels: int, path: Path) -> Path:
    """Write one of the pictures of what is new; raises `StitchviewError`."""
    save_png(picture_of(between, shown, wish_for(between.chart, pixels)), path)
    return path


def save_growing(book: DiaryBook, path: Path, frames_apart: bool = False) -> Path:
    """Write the piece growing as a moving picture, or as a folder of frames."""
    ends = chosen_ends([each.last for each in book.sittings])
    frames = (_frame(book.diary.chart, each) for each in book.diary.states(ends))
    write = write_frames if frames_apart else write_growing
    write(frames, path)
    return path


def wish_for(chart: Chart, pixels: int) -> ClothWish:
    """Whole pixels a square, so that the longer side has about so many."""
    return ClothWish(min(24, max(1, pixels // max(chart.columns, chart.rows))))


def _frame(chart: Chart, states: Arrays) -> QImage:
    return now_picture(chart, states, wish_for(chart, GROWING_PIXELS))


def _thumb(path: Path) -> QImage | None:
    try:
        with opened_photo(path.read_bytes()) as image:
            image.draft("RGB", (2 * THUMB_PIXELS, 2 * THUMB_PIXELS))
            small = ImageOps.exif_transpose(image).convert("RGB")
            small.thumbnail((THUMB_PIXELS, THUMB_PIXELS))
            return pillow_as_qt(small)
    except (*DAMAGE, Image.DecompressionBombError):
        return None

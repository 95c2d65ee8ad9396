"""Looks for the sheets in pictures beside the window: every picture is told of as soon as it is found."""

import os
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from stitchview.errors import StitchviewError
from stitchview.sheets.onesheet import Preview, Told, find_sheet, flat_of, page_of, pages_in, preview_of
from stitchview.sheets.opening import open_pictures
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.reading import FoundSheet

MOST_THREADS = 4


@dataclass(frozen=True, eq=False)
class Page:
    """Which picture is told of: the number of the asking, and the page of the file out of how many."""

    asking: int
    number: int
    of: int


@dataclass(frozen=True, eq=False)
class News:
    """What has become of a page: its preview, then the sheet found in it, pulled straight, or why not."""

    page: Page
    preview: Preview | None = None
    found: FoundSheet | None = None
    flat: Preview | None = None
    trouble: str = ""


class SheetJobs(QObject):
    """Pictures being looked at, in threads of their own; `news` is told in the window's thread.

    What was stopped tells nothing more, also where a thread needs a moment longer to notice.
    """

    news = Signal(object)
    _from_a_thread = Signal(object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._pool: ThreadPoolExecutor | None = None
        self._askings = 0
        self._stops: dict[int, threading.Event] = {}
        self._from_a_thread.connect(self._told)

    def look_through(self, path: Path) -> int:
        """Look at every page of a file; gives the number of this asking."""
        return self._start(partial(self._whole_file, path))

    def look_again(self, path: Path, page: int, name: str, told: Told) -> int:
        """Look at one page again, with what a person has said of it; gives the number of this asking."""
        return self._start(partial(self._one_page, path, page, (name, told)))

    def stop(self, asking: int) -> None:
        """Stop what was asked for, or be done with it; when nothing is left to do, the threads go."""
        stop = self._stops.pop(asking, None)
        if stop is not None:
            stop.set()
        if not self._stops and self._pool is not None:
            self._pool.shutdown(wait=False, cancel_futures=True)
            self._pool = None

    def close(self) -> None:
        """Stop everything."""
        for asking in list(self._stops):
            self.stop(asking)

    def _start(self, work: Callable[[int, threading.Event], None]) -> int:
        if self._pool is None:
            # One core is left to the window, as far as there are several.
            cores = max(1, (os.cpu_count() or 2) - 1)
            self._pool = ThreadPoolExecutor(min(MOST_THREADS, cores), "reading table")
        self._askings += 1
        stop = self._stops[self._askings] = threading.Event()
        self._pool.submit(self._guarded, work, self._askings, stop)
        return self._askings

    def _guarded(
        self, work: Callable[[int, threading.Event], None], asking: int, stop: threading.Event
    ) -> None:
        """Runs in a thread: what hinders becomes a sentence."""
        if stop.is_set():
            return
        try:
            work(asking, stop)
        except MemoryError:
            self._tell(News(Page(asking, 0, 0), trouble=_too_little_memory("The picture")), stop)
        except StitchviewError as error:
            self._tell(News(Page(asking, 0, 0), trouble=str(error)), stop)

    def _whole_file(self, path: Path, asking: int, stop: threading.Event) -> None:
        count = pages_in(path)
        for picture in open_pictures(path):
            if stop.is_set():
                return
            page = Page(asking, picture.page, count)
            self._tell(News(page, preview_of(picture)), stop)
            name = f"{path.stem}, page {picture.page}" if count > 1 else path.stem
            self._look(picture, page, (name, Told()), stop)

    def _one_page(
        self, path: Path, number: int, known: tuple[str, Told], asking: int, stop: threading.Event
    ) -> None:
        picture = page_of(path, number)
        page = Page(asking, number, 0)
        self._tell(News(page, preview_of(picture)), stop)
        if not stop.is_set():
            self._look(picture, page, known, stop)

    def _look(
        self, picture: PaperPicture, page: Page, known: tuple[str, Told], stop: threading.Event
    ) -> None:
        try:
            found = find_sheet(picture, *known)
            self._tell(News(page, found=found, flat=flat_of(found.straight)), stop)
        except MemoryError:
            self._tell(News(page, trouble=_too_little_memory(known[0])), stop)
        except PaperError as error:
            self._tell(News(page, trouble=str(error)), stop)

    def _tell(self, news: News, stop: threading.Event) -> None:
        if not stop.is_set():
            self._from_a_thread.emit(news)

    def _told(self, news: News) -> None:
        # It may have been stopped while this was on its way from the thread.
        if news.page.asking in self._stops:
            self.news.emit(news)


def _too_little_memory(name: str) -> str:
    return f"There is too little memory for {name}. Close other programs, or save the picture smaller."

"""The charts opened lately, and the one of the last evening, kept with the settings of the program."""

from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QSettings

MOST = 10
_LIST = "charts/recent"
_LAST = "charts/last"


class Recent:
    """A list of paths, the latest first; charts that have gone meanwhile are told by whoever opens them."""

    def __init__(self, settings: QSettings) -> None:
        self._settings = settings

    @property
    def charts(self) -> tuple[Path, ...]:
        """The charts opened lately, the latest first."""
        found = self._settings.value(_LIST, [])
        # A list of one is read back as plain text, and a file edited by hand may hold anything.
        texts = [found] if isinstance(found, str) else found if isinstance(found, list) else []
        paths = dict.fromkeys(text for text in texts if isinstance(text, str) and text)
        return tuple(Path(text) for text in paths)[:MOST]

    @property
    def last(self) -> Path | None:
        """The chart that was open when the window was closed; None if none was."""
        found = self._settings.value(_LAST, "")
        return Path(found) if isinstance(found, str) and found else None

    def opened(self, path: Path) -> None:
        """Put a chart at the head of the list."""
        charts = [path, *(each for each in self.charts if each != path)]
        self._write(charts[:MOST])
        self._settings.setValue(_LAST, str(path))

    def closed(self) -> None:
        """Forget which chart was open: she has put it away."""
        self._settings.setValue(_LAST, "")

    def forget(self, path: Path) -> None:
        """Take a chart that cannot be opened off the list."""
        self._write([each for each in self.charts if each != path])
        if self.last == path:
            self.closed()

    def clear(self) -> None:
        """Empty the list."""
        self._write([])

    def _write(self, charts: list[Path]) -> None:
        self._settings.setValue(_LIST, [str(path) for path in charts])


def labels_of(charts: Sequence[Path]) -> list[str]:
    """What a list calls the charts: by their names, and by their folders too where two have the same."""
    names = Counter(path.name for path in charts)
    return [path.name if names[path.name] == 1 else f"{path.name} in {path.parent}" for path in charts]

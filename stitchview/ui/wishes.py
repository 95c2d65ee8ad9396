"""The preferences in force: read at start, taken over at once when changed, and kept soon after."""

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QObject, QSettings, QTimer
from PySide6.QtWidgets import QApplication

from stitchview.errors import StitchviewError
from stitchview.ui.preferences import Preferences, keep_preferences, read_preferences
from stitchview.ui.theme import apply_theme, is_dark

# A slider that is dragged changes them many times; the last time is soon enough for the disk.
KEEP_MS = 400


class Wishes(QObject):
    """Holds the preferences of one window; `changed` is called when they have changed."""

    def __init__(
        self, app: QApplication, settings: QSettings, changed: Callable[[], None], tell: Callable[[str], None]
    ) -> None:
        super().__init__()
        self._app, self._settings = app, settings
        self._changed, self._tell = changed, tell
        self._keep = QTimer(self)
        self._keep.setSingleShot(True)
        self._keep.setInterval(KEEP_MS)
        self._keep.timeout.connect(self.keep)
        self.preferences = read_preferences(settings)

    def dress(self) -> None:
        """Put the program in the colours wished for; its windows are told, so they must be ready."""
        apply_theme(self._app, self.preferences.theme)

    @property
    def night(self) -> bool:
        """Whether the program stands in dark colours."""
        return is_dark(self._app)

    def take(self, preferences: Preferences) -> None:
        """Take other preferences over, and have them kept."""
        if preferences.theme != self.preferences.theme:
            apply_theme(self._app, preferences.theme)
        self.preferences = preferences
        self._changed()
        self._keep.start()

    def keep(self) -> None:
        """Keep them now; a file that cannot be written is told."""
        self._keep.stop()
        try:
            keep_preferences(self._settings, self.preferences)
        except StitchviewError as error:
            self._tell(str(error))

    def switch_snapping(self) -> None:
        """Let the band snap to tens, or lie anywhere."""
        self.take(replace(self.preferences, snaps_to_tens=not self.preferences.snaps_to_tens))

    def switch_stepping(self) -> None:
        """Let the band step on by itself, or stay."""
        self.take(replace(self.preferences, steps_on=not self.preferences.steps_on))

    def switch_single_keys(self) -> None:
        """Let keys of one character work, or not."""
        self.take(replace(self.preferences, single_keys=not self.preferences.single_keys))

"""The file that settings are kept in, and the one of them that is wanted before anything else."""

from PySide6.QtCore import QSettings

from stitchview.ui.theme import Theme

_THEME = "preferences/theme"


def open_settings() -> QSettings:
    """The program's settings: an ini file in the platform's folder for settings."""
    return QSettings(QSettings.Format.IniFormat, QSettings.Scope.UserScope, "stitchview", "stitchview")


def theme_kept(settings: QSettings) -> Theme:
    """The theme among the preferences kept; the system's when none makes sense."""
    kept = settings.value(_THEME)
    return next((theme for theme in Theme if theme == kept), Theme.SYSTEM)

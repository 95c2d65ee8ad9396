"""Menus, toolbar and keys, made from the one table of actions."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QObject, QSize, Qt
from PySide6.QtGui import QAction, QActionGroup, QIcon, QKeySequence, QPalette
from PySide6.QtWidgets import QMenu, QMenuBar, QToolBar, QToolButton, QWidget

from stitchview.ui.action import Action, Menu, is_single_character
from stitchview.ui.actions import ACTIONS, BUTTON_MENUS, LAST_OF_PART, TOOLBAR
from stitchview.ui.icons import icon
from stitchview.ui.needs import Needs
from stitchview.ui.recent import labels_of
from stitchview.ui.works import ChartWorks, WindowWorks

ICON_SIZE = 22
_PLACES = {
    "quit": QAction.MenuRole.QuitRole,
    "settings": QAction.MenuRole.PreferencesRole,
}


class Doer(Protocol):
    """Who does what is asked for by menu, toolbar or key."""

    def do(self, action: Action) -> None:
        """Do it, and let the menus be refreshed."""

    def open_recent(self, path: Path) -> None:
        """Open a chart of the list of recent ones."""


class Command(QAction):
    """One action of the table as Qt knows it."""

    def __init__(self, action: Action, doer: Doer, parent: QObject) -> None:
        super().__init__(action.text, parent)
        self.action, self._doer = action, doer
        self.setObjectName(action.name)
        self.setCheckable(action.checkable)
        self.setAutoRepeat(action.repeats)
        self.setMenuRole(_PLACES.get(action.name, QAction.MenuRole.NoRole))
        self.setStatusTip(action.tip)
        if action.on_canvas:
            self.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        self.triggered.connect(self._done)

    def use_keys(self, single: bool) -> None:
        """Answer to its keys, those of one character only if they are wanted; the tip names them."""
        keys = [key for key in self.action.keys if single or not is_single_character(key)]
        self.setShortcuts([QKeySequence(key) for key in keys])
        shown = QKeySequence(keys[0]).toString(QKeySequence.SequenceFormat.NativeText) if keys else ""
        self.setToolTip(f"<b>{self.action.text}</b>{f' ({shown})' if shown else ''}<br>{self.action.tip}")

    def refresh(self, window: WindowWorks, chart: ChartWorks | None) -> None:
        """Take over whether it can be done now, and whether it is switched on."""
        needs = self.action.needs
        self.setEnabled(needs is Needs.NOTHING or (chart is not None and chart.meets(needs)))
        if self.action.is_on_window is not None:
            self.setChecked(self.action.is_on_window(window))
        elif self.action.is_on is not None:
            self.setChecked(chart is not None and self.action.is_on(chart))

    def _done(self) -> None:
        self._doer.do(self.action)


class RecentMenu(QMenu):
    """The charts opened lately."""

    def __init__(self, doer: Doer, parent: QWidget) -> None:
        super().__init__("Recent charts", parent)
        self._doer = doer
        self.triggered.connect(self._chosen)

    def show_charts(self, charts: Sequence[Path]) -> None:
        """List other charts."""
        self.clear()
        for path, label in zip(charts, labels_of(charts), strict=True):
            entry = self.addAction(label.replace("&", "&&"))
            entry.setData(str(path))
            entry.setToolTip(str(path))
        self.setToolTipsVisible(True)
        self.setEnabled(bool(charts))

    def _chosen(self, entry: QAction) -> None:
        self._doer.open_recent(Path(entry.data()))


class Menus:
    """All commands of one window, its menu bar and its toolbar."""

    def __init__(self, window: QWidget, doer: Doer) -> None:
        self.commands = {action.name: Command(action, doer, window) for action in ACTIONS}
        self.recent = RecentMenu(doer, window)
        self._bar_of: dict[Menu, QMenu] = {}
        self._icons: dict[str, QIcon] = {}
        self._group_choices(window)
        # Also without a menu bar, when only the chart is shown, the keys work: the window has them too.
        window.addActions([command for command in self.commands.values() if not command.action.on_canvas])

    def fill_bar(self, bar: QMenuBar) -> None:
        """Put the menus into the menu bar."""
        for menu in Menu:
            self._bar_of[menu] = shown = bar.addMenu(menu.value)
            shown.setToolTipsVisible(True)
            for command in self._of(menu):
                if command.action.in_menu:
                    shown.addAction(command)
                if command.action.name == "open":
                    shown.addMenu(self.recent)
                if command.action.name in LAST_OF_PART:
                    shown.addSeparator()

    def fill_toolbar(self, toolbar: QToolBar) -> None:
        """Put the commands of the toolbar on it, in groups."""
        toolbar.setIconSize(QSize(ICON_SIZE, ICON_SIZE))
        for number, group in enumerate(TOOLBAR):
            if number:
                toolbar.addSeparator()
            for name in group:
                toolbar.addAction(self.commands[name])
                button = toolbar.widgetForAction(self.commands[name])
                button.setAccessibleName(self.commands[name].text().rstrip(" …"))
                button.setAccessibleDescription(self.commands[name].action.tip)
                # Menus and keys hold the same; two dozen more stops for Tab would only be in the way.
                button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
                if name in BUTTON_MENUS and isinstance(button, QToolButton):
                    self._hang_menu(button, BUTTON_MENUS[name])

    def _hang_menu(self, button: QToolButton, names: Sequence[str]) -> None:
        menu = QMenu(button)
        menu.setToolTipsVisible(True)
        menu.addActions([self.commands[name] for name in names])
        button.setMenu(menu)
        button.setPopupMode(QToolButton.ToolButtonPopupMode.MenuButtonPopup)

    def take_canvas(self, canvas: QWidget) -> None:
        """Let the keys of the chart work while this canvas has the keyboard."""
        canvas.addActions([command for command in self.commands.values() if command.action.on_canvas])

    def use_keys(self, single: bool) -> None:
        """Let keys of one character work, or not."""
        for command in self.commands.values():
            command.use_keys(single)

    def tint(self, palette: QPalette) -> None:
        """Draw the icons in the colours of the theme."""
        for command in self.commands.values():
            if command.action.icon:
                self._icons[command.action.name] = icon(command.action.icon, palette)
                command.setIcon(self._icons[command.action.name])
        self._wear_choices()

    def refresh(self, window: WindowWorks, chart: ChartWorks | None) -> None:
        """Take over what can be done now, and what is switched on."""
        for command in self.commands.values():
            command.refresh(window, chart)
        self._wear_choices()

    def _wear_choices(self) -> None:
        """Give buttons with a menu the icon of what is chosen in it; of the first, their own."""
        for name, choices in BUTTON_MENUS.items():
            chosen = next((each for each in choices[1:] if self.commands[each].isChecked()), name)
            self.commands[name].setIcon(self._icons.get(chosen, QIcon()))

    def _of(self, menu: Menu) -> Iterator[Command]:
        return (command for command in self.commands.values() if command.action.menu is menu)

    def _group_choices(self, window: QWidget) -> None:
        groups: dict[str, QActionGroup] = {}
        for command in self.commands.values():
            choice = command.action.choice
            if choice:
                groups.setdefault(choice, QActionGroup(window)).addAction(command)

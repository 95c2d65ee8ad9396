"""The one table of actions: every key once, every action with its words, and nothing of Qt in it."""

import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from PySide6.QtGui import QKeySequence

from stitchview.chart.shipped import shipped
from stitchview.ui.action import Action, Menu, is_single_character
from stitchview.ui.actions import ACTIONS, LAST_OF_PART, TOOLBAR, named
from stitchview.ui.needs import Needs

# The keys that were agreed on before anything was built; a change of one must be meant.
AGREED = {
    "Left": "pan-left",
    "Shift+Up": "pointer-up",
    "Return": "mark-here",
    "Shift+Return": "unpick-here",
    "Ctrl+Down": "band-down",
    "Ctrl+Shift+Right": "band-jump-right",
    "Alt+Up": "band-shorter",
    "Alt+Down": "band-taller",
    "Alt+Left": "band-narrower",
    "Alt+Right": "band-wider",
    "+": "zoom-in",
    "Ctrl+-": "zoom-out",
    "0": "whole",
    "W": "band-width",
    "Z": "region",
    "Backspace": "last-view",
    "L": "look",
    "M": "mark",
    "U": "unpick",
    "1": "shape-single",
    "2": "shape-sweep",
    "3": "shape-rectangle",
    "4": "shape-run",
    "5": "shape-patch",
    "T": "thread-in-band",
    "O": "only",
    "K": "take-thread",
    "Shift+K": "put-thread-down",
    "[": "thread-before",
    "]": "thread-after",
    "B": "band-rows",
    "V": "band-columns",
    "F": "band-frame",
    "N": "band-none",
    "P": "paper",
    "D": "worked",
    "H": "last-marks",
    "Ctrl+Z": "undo",
    "Ctrl+Shift+Z": "redo",
    "Ctrl+O": "open",
    "Ctrl+W": "close",
    "F1": "keys",
    "F11": "alone",
    "Ctrl+,": "settings",
    "Ctrl+Q": "quit",
}


def test_no_key_is_given_twice() -> None:
    """One key does one thing, whichever way Qt writes it; Space and Escape are the hands' own."""
    written = Counter(QKeySequence(key).toString() for action in ACTIONS for key in action.keys)
    assert [key for key, times in written.items() if times > 1] == []
    assert not {"Space", "Esc"} & set(written)


def test_every_key_is_one_that_qt_knows() -> None:
    """A key that is written wrongly would never work."""
    for action in ACTIONS:
        for key in action.keys:
            assert QKeySequence(key).count() == 1, key
            assert QKeySequence(key).toString(), key


def test_the_keys_agreed_on_are_there() -> None:
    """Fingers remember keys, so they stay."""
    by_key = {key: action.name for action in ACTIONS for key in action.keys}
    assert AGREED.items() <= by_key.items()


def test_every_action_says_what_it_does() -> None:
    """Each has a name of its own, words for the menu, and a tip."""
    assert len({action.name for action in ACTIONS}) == len(ACTIONS)
    for action in ACTIONS:
        assert action.text
        assert action.text[0].isupper()
        assert len(action.tip) > 10, action.name
        assert not action.tip.endswith("."), action.name


def test_toolbar_and_menus_name_actions_that_exist() -> None:
    """What stands on the toolbar has an icon that is shipped; lines are drawn after actions that exist."""
    for name in (name for group in TOOLBAR for name in group):
        assert shipped(f"resources/icons/{named(name).icon}.svg").is_file()
    assert {named(name).name for name in LAST_OF_PART} == LAST_OF_PART
    assert {action.menu for action in ACTIONS} == set(Menu)


def test_keys_of_one_character_are_told_from_others() -> None:
    """Letters, digits and signs can be switched off (WCAG 2.2, 2.1.4); what needs Ctrl or Alt stays."""
    assert all(is_single_character(key) for key in ("B", "Shift+K", "+", "-", "0", "["))
    assert not any(is_single_character(key) for key in ("Ctrl++", "Ctrl+B", "F1", "Left", "Return", "Menu"))


def test_the_table_knows_nothing_of_widgets(repository: Path) -> None:
    """Help and README are made from it where there is no Qt at all."""
    code = (
        "import sys; sys.modules['PySide6'] = None\n"
        "from stitchview.ui.actions import ACTIONS\n"
        "from stitchview.ui.shortcuthelp import readme_keys\n"
        "print(len(ACTIONS), len(readme_keys()))"
    )
    told = subprocess.run(
        [sys.executable, "-c", code],
        cwd=repository,
        env={"PYTHONPATH": str(repository)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert told.stderr == ""
    assert int(told.stdout.split()[0]) == len(ACTIONS)


@pytest.mark.parametrize("needs", [Needs.NOTHING, Needs.CHART])
def test_an_action_is_done_in_one_place(needs: Needs) -> None:
    """Whoever gives none, or both, has made a mistake in the table."""
    with pytest.raises(ValueError, match="either at the chart or at the window"):
        Action("nothing", "Nothing", "Nothing at all", Menu.HELP, needs=needs)

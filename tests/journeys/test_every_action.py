"""Every key is pressed, every button clicked, every menu line chosen, and what comes of it is seen."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.ui.actions import ACTIONS, TOOLBAR
from tests.journeys.effects_at_the_cloth import AT_THE_CLOTH
from tests.journeys.effects_of_differing import DIFFERING
from tests.journeys.effects_of_finishing import FINISHING
from tests.journeys.effects_of_following import FOLLOWING
from tests.journeys.effects_of_last_things import LAST_THINGS
from tests.journeys.effects_of_looking import LOOKING
from tests.journeys.effects_of_marking import MARKING
from tests.journeys.effects_of_paper import PAPERS
from tests.journeys.effects_of_planning import PLANNING
from tests.journeys.effects_of_states import STATES
from tests.journeys.sofa import Sofa

EFFECTS = DIFFERING | LOOKING | MARKING | STATES | LAST_THINGS | AT_THE_CLOTH | FOLLOWING | PLANNING | PAPERS
EFFECTS |= FINISHING
KEYS = [(action.name, key) for action in ACTIONS for key in action.keys]
BUTTONS = [name for group in TOOLBAR for name in group]


def test_every_action_has_its_effect_checked() -> None:
    """No action is in the table without a look at what comes of it."""
    assert set(EFFECTS) == {action.name for action in ACTIONS}


@pytest.mark.parametrize(("name", "key"), KEYS, ids=[f"{name} by {key}" for name, key in KEYS])
def test_a_key_does_what_it_says(name: str, key: str, sofa: Sofa, harbour: Path) -> None:
    """Pressed while the chart has the keyboard, each key has its effect."""
    sofa.sit_down(harbour)
    scene = EFFECTS[name](sofa)
    next(scene)
    sofa.press(key)
    sofa.app.processEvents()
    assert next(scene, None) is None


@pytest.mark.parametrize("name", BUTTONS)
def test_a_button_does_what_it_says(name: str, sofa: Sofa, harbour: Path) -> None:
    """Clicked on the toolbar, each button has its effect."""
    program = sofa.sit_down(harbour)
    scene = EFFECTS[name](sofa)
    next(scene)
    button = sofa.window.toolbar.widgetForAction(program.menus.commands[name])
    assert button.isVisible()
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    sofa.app.processEvents()
    assert next(scene, None) is None


@pytest.mark.parametrize("name", [action.name for action in ACTIONS if action.in_menu])
def test_a_line_of_a_menu_does_what_it_says(name: str, sofa: Sofa, harbour: Path) -> None:
    """Chosen in its menu, each action has its effect, those without a key too."""
    sofa.sit_down(harbour)
    scene = EFFECTS[name](sofa)
    next(scene)
    sofa.choose(name)
    sofa.app.processEvents()
    assert next(scene, None) is None

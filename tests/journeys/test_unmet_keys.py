"""A key whose action lacks something says what to do first, and then does it."""

from pathlib import Path

import pytest

from stitchview.ui.hint import Hint
from stitchview.ui.needs import Needs
from stitchview.ui.unmet import FIRST
from tests.journeys.sofa import Sofa


def hints(sofa: Sofa) -> list[str]:
    return [hint.text() for hint in sofa.sitting.board.findChildren(Hint)]


@pytest.mark.parametrize(
    ("key", "needs"),
    [
        ("G", Needs.THREAD),
        ("E", Needs.THREAD),
        (".", Needs.THREAD),
        ("Shift+J", Needs.THREAD),
        ("T", Needs.THREAD_AND_BAND),
        ("Ctrl+Z", Needs.UNDO),
        ("PgDown", Needs.RUNS),
        ("Ctrl+0", Needs.TURNED),
    ],
)
def test_a_key_that_can_do_nothing_says_what_is_lacking(
    sofa: Sofa, harbour: Path, key: str, needs: Needs
) -> None:
    """No thread is in hand, nothing is marked, no runs are called out: one sentence each."""
    sofa.sit_down(harbour)
    sofa.press(key)
    sofa.qtbot.waitUntil(lambda: FIRST[needs] in hints(sofa), timeout=20_000)


def test_with_a_thread_in_hand_the_key_works(sofa: Sofa, harbour: Path) -> None:
    """As the sentence said: K over a square, then G goes on."""
    sofa.sit_down(harbour)
    sofa.put_pointer((20, 20))
    sofa.press("K", "G")
    assert FIRST[Needs.THREAD] not in hints(sofa)
    assert sofa.sitting.works.holding.thread

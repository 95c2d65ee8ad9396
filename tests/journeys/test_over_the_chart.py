"""What lies over the chart for a while: the slip, the tape and the path of a needleful."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.journeys.effects_at_the_cloth import slip_of, take_in_hand
from tests.journeys.sofa import Sofa


def choose_in_key(sofa: Sofa, number: int) -> None:
    """Click a thread in the list of the key."""
    keys = sofa.window.panels.keys
    index = keys.model.index(keys.model.place_of(number))
    keys.list.scrollTo(index)
    place = keys.list.visualRect(index).center()
    QTest.mouseClick(keys.list.viewport(), Qt.MouseButton.LeftButton, pos=place)


def test_a_path_goes_with_its_thread(sofa: Sofa, harbour: Path) -> None:
    """Put down by key, by a click in the key, or changed for another: slip and path go at once."""
    sofa.sit_down(harbour)
    number = take_in_hand(sofa)

    def put_down_by_click() -> None:
        choose_in_key(sofa, number)

    def change_by_click() -> None:
        choose_in_key(sofa, number % len(sofa.desk.chart.key) + 1)

    def put_down_by_menu() -> None:
        sofa.choose("put-thread-down")

    for letting_go in (put_down_by_click, change_by_click, put_down_by_menu):
        sofa.sitting.take_thread(number, go_there=False)
        sofa.canvas.setFocus()
        sofa.press("E")
        assert len(sofa.canvas.showing.signs.route) > 10
        assert "Next needleful" in slip_of(sofa)
        letting_go()
        assert sofa.works.holding.thread != number
        assert sofa.canvas.showing.signs.route == ()
        assert slip_of(sofa) == ""

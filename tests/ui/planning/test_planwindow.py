"""The planning window as a whole: small screens, the dark, the keyboard, and cards that cannot be written."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QMessageBox,
    QPushButton,
    QWidget,
)

from stitchview.chart.model import Chart
from stitchview.plan.holeorder import HoleOrder
from stitchview.ui.planning.cardpage import CardPage
from stitchview.ui.planworks import PlanPlace
from stitchview.ui.theme import Theme, apply_theme
from tests.ui.planning.conftest import Plan, PlanOn

PAGES = range(len(PlanPlace))


def test_pages_stand_in_the_order_of_the_menu(plan: Plan) -> None:
    """A page each, by the names of the menu's places, and Ctrl with a digit brings it up."""
    assert [page.place for page in plan.window.pages] == list(PlanPlace)
    for number in PAGES:
        QTest.keySequence(plan.window, f"Ctrl+{number + 1}")
        assert plan.window.tabs.currentIndex() == number


@pytest.mark.parametrize("theme", [Theme.LIGHT, Theme.DARK])
@pytest.mark.parametrize("number", PAGES)
def test_every_page_fits_a_small_screen(plan: Plan, qapp: QApplication, theme: Theme, number: int) -> None:
    """1024 x 600 with a bar and a frame leave 1000 x 540, by day and by night."""
    apply_theme(qapp, theme)
    plan.window.turn_to(number)
    least = plan.window.minimumSizeHint()
    assert least.width() <= 1000
    assert least.height() <= 540


def test_letters_twice_as_large_are_not_cut(plan_on: PlanOn, small: Chart, qapp: QApplication) -> None:
    """No field is narrower than it must be when letters are at 200 % (WCAG 2.2, 1.4.4)."""
    font = qapp.font()
    font.setPointSizeF(font.pointSizeF() * 2)
    qapp.setFont(font)
    window = plan_on(small).window
    window.resize(1600, 1000)
    for number in PAGES:
        window.turn_to(number)
        qapp.processEvents()
        narrow = [
            widget
            for kind in (QAbstractSpinBox, QComboBox, QPushButton)
            for widget in window.pages[number].findChildren(kind)
            if widget.isVisible() and widget.width() < widget.minimumSizeHint().width()
        ]
        assert not narrow


@pytest.mark.parametrize("number", PAGES)
def test_everything_that_can_be_used_has_a_name(plan: Plan, number: int) -> None:
    """A screen reader can say what each field and button is for (WCAG 2.2, 4.1.2)."""
    plan.window.turn_to(number)
    page = plan.window.pages[number]
    nameless = [
        widget
        for kind in (QAbstractSpinBox, QComboBox, QLineEdit, QPushButton)
        for widget in page.findChildren(kind)
        if widget.isVisible() and not isinstance(widget.parent(), QAbstractSpinBox | QComboBox)
        if not (widget.accessibleName() or _text(widget) or _label_of(widget, page))
    ]
    assert not nameless


@pytest.mark.parametrize("number", PAGES)
def test_tab_comes_to_everything_and_leaves_again(plan: Plan, number: int) -> None:
    """Every field that can be used is come to by Tab, and no field keeps the keyboard (WCAG 2.1.1, 2.1.2)."""
    plan.window.turn_to(number)
    page = plan.window.pages[number]
    wanted = {
        widget
        for kind in (QAbstractSpinBox, QComboBox, QPushButton)
        for widget in page.findChildren(kind)
        if widget.isVisible() and widget.isEnabled() and widget.focusPolicy() & Qt.FocusPolicy.TabFocus
    }
    plan.window.activateWindow()
    plan.window.tabs.setFocus()
    seen: set[QWidget] = set()
    for _ in range(80):
        QTest.keyClick(QApplication.focusWidget() or plan.window, Qt.Key.Key_Tab)
        focus = QApplication.focusWidget()
        if focus is not None:
            seen.add(focus)
    assert wanted <= seen


def test_enter_in_a_field_presses_no_button(plan: Plan) -> None:
    """Enter takes over what is typed; the window stays."""
    for number in PAGES:
        plan.window.turn_to(number)
        QTest.keyClick(plan.window, Qt.Key.Key_Return)
        assert plan.window.isVisible()
    assert not [button for button in plan.window.findChildren(QPushButton) if button.autoDefault()]


@pytest.mark.parametrize("order", list(HoleOrder))
def test_a_card_in_every_order_is_shown_and_written(plan: Plan, tmp_path: Path, order: HoleOrder) -> None:
    """As many pictures as cards, and a PDF."""
    page = card_page(plan)
    row = page.order.findData(order.value)
    page.order.setCurrentIndex(row)
    page.order.activated.emit(row)
    assert page.pictures == 1
    assert page.write(tmp_path / "card.pdf")
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF-")


def test_a_card_that_cannot_be_written_is_said(plan: Plan, tmp_path: Path) -> None:
    """A folder that is not there: one sentence, and the page stays as it was."""
    page = card_page(plan)
    assert not page.write(tmp_path / "nowhere" / "card.pdf")
    boxes = page.findChildren(QMessageBox)
    assert len(boxes) == 1
    boxes[0].close()


def card_page(plan: Plan) -> CardPage:
    """The page, as it comes up."""
    plan.window.turn_to(list(PlanPlace).index(PlanPlace.CARD))
    page = plan.window.tabs.currentWidget()
    assert isinstance(page, CardPage)
    return page


def _text(widget: QWidget) -> str:
    return widget.text() if isinstance(widget, QPushButton) else ""


def _label_of(widget: QWidget, page: QWidget) -> bool:
    return any(label.buddy() is widget for label in page.findChildren(QLabel))

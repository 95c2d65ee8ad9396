"""The page about her stash: lists of every kind, her own columns, substitutes and look-alikes."""

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QMessageBox
from pytestqt.qtbot import QtBot

from stitchview.chart.model import Chart, Symbol
from stitchview.plan.stashcolumns import StashColumns
from stitchview.plan.stashreport import Verdict
from stitchview.ui.planning.columnsdialog import ColumnsDialog
from stitchview.ui.planning.stashpage import StashPage
from stitchview.ui.planworks import PlanPlace
from tests.ui.planning.conftest import Plan, PlanOn


def stash_page(plan: Plan) -> StashPage:
    """The page, as it comes up."""
    plan.window.turn_to(list(PlanPlace).index(PlanPlace.STASH))
    page = plan.window.tabs.currentWidget()
    assert isinstance(page, StashPage)
    return page


def verdicts(page: StashPage) -> dict[str, Verdict]:
    """How each thread stands."""
    rows = [page.model.row_at(row) for row in range(page.model.rowCount())]
    return {each.thread.name: each.verdict for each in rows if each is not None}


def test_without_a_list_it_says_what_to_do(plan: Plan) -> None:
    """Nothing but a sentence and the button to open one."""
    page = stash_page(plan)
    assert "Open one that you keep as a table" in page.told.text()
    assert page.open.isEnabled()
    assert not page.map.isEnabled()
    assert not page.split.isVisible()


def test_her_own_columns_are_asked_for_once(plan: Plan, small: Chart, tmp_path: Path) -> None:
    """A list in her own words opens the question; the answer is kept with the list."""
    path = tmp_path / "hers.csv"
    path.write_text(f"was;welche;haufen\n{small.key[0].name};{small.key[0].number};50\n", "utf-8")
    page = stash_page(plan)
    page.take(path)
    dialog = page.columns
    assert isinstance(dialog, ColumnsDialog)
    assert dialog.isVisible()
    assert dialog.columns == StashColumns()
    for use, heading in (("name", "was"), ("number", "welche"), ("skeins", "haufen")):
        dialog.choosers[use].setCurrentText(heading)
    dialog.accept()
    assert verdicts(page)[small.key[0].name] is Verdict.HAVE
    assert "1 enough" in page.told.text()


@pytest.mark.parametrize("content", [b"", b"\x89PNG\r\n\x1a\n\x00\x00\x00", b"name\n"])
def test_what_is_no_list_is_said_and_loses_nothing(
    plan: Plan, small: Chart, tmp_path: Path, qtbot: QtBot, content: bytes
) -> None:
    """The list that was open before is not lost from the settings."""
    good, bad = tmp_path / "good.csv", tmp_path / "bad.csv"
    good.write_text(f'name,skeins\r\n"{small.key[0].name}",9\r\n')
    bad.write_bytes(content)
    page = stash_page(plan)
    page.take(good)
    page.take(bad)
    for box in plan.window.findChildren(QMessageBox):
        box.close()
    assert page.told.text()
    for dialog in page.findChildren(ColumnsDialog):
        dialog.reject()
    assert verdicts(page)[small.key[0].name] is Verdict.HAVE


def test_what_could_stand_in_is_shown_beside_it(plan: Plan, small: Chart, tmp_path: Path) -> None:
    """A thread of nearly the colour that is missing, with an honest word."""
    colour = small.key[0].colour
    path = tmp_path / "stash.csv"
    path.write_text(f"name,number,skeins,colour\nSample wool 9,9,5,{colour.hex}\n")
    page = stash_page(plan)
    page.take(path)
    page.rows.choose(0)
    assert "Sample wool 9: hardly told apart on this screen" in page.offers.text()
    assert page.colours.accessibleDescription() == "the chart’s; 1"
    assert "buy" in page.words.text()


def test_a_list_is_written_whole(plan: Plan, tmp_path: Path) -> None:
    """Her headings, and columns that the program does not use, come back as they were."""
    path, copy = tmp_path / "stash.csv", tmp_path / "copy.csv"
    path.write_bytes(b"name,number,skeins,drawer\r\nSample wool 9,9,5,blue box\r\n")
    page = stash_page(plan)
    page.take(path)
    assert page.write(copy)
    assert copy.read_bytes() == path.read_bytes()
    assert not page.write(tmp_path / "nowhere" / "copy.csv")
    for box in page.findChildren(QMessageBox):
        box.close()


def test_look_alikes_are_listed_with_a_remedy(plan: Plan) -> None:
    """Each pair large, with what to do about it; or a sentence that there are none."""
    page = stash_page(plan)
    page.tabs.setCurrentIndex(1)
    listed = page.alike.list.count()
    assert bool(listed) == ("No two threads" not in page.alike.told.text())
    for row in range(listed):
        page.alike.list.setCurrentRow(row)
        assert "They look alike" in page.alike.remedy.text()
        assert page.alike.colours.isVisible()


def test_symbols_of_unlike_weight_need_no_other(plan_on: PlanOn, small: Chart) -> None:
    """Of two threads of one colour a filled and an open symbol differ already; two alike want another."""
    colour = small.key[0].colour
    for signs, told in ((("█", "·"), "differ in weight already"), (("·", "˙"), "Give ")):
        key = tuple(
            replace(entry, symbol=Symbol(sign), colour=colour)
            for entry, sign in zip(small.key[:2], signs, strict=True)
        )
        page = stash_page(plan_on(replace(small, key=(*key, *small.key[2:]))))
        page.alike.list.setCurrentRow(0)
        assert told in page.alike.remedy.text()


def test_a_list_that_has_gone_is_said_next_evening(plan_on: PlanOn, small: Chart, tmp_path: Path) -> None:
    """It was moved: one sentence, and the button to open it where it is now."""
    path = tmp_path / "gone.csv"
    path.write_text(f'name,skeins\r\n"{small.key[0].name}",9\r\n')
    plan = plan_on(small)
    stash_page(plan).take(path)
    path.unlink()
    page = stash_page(plan_on(small))
    assert "“gone.csv” is not there." in page.told.text()
    assert page.open.isEnabled()
    assert not page.buy.isEnabled()

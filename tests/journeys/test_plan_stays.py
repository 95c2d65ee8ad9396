"""What is settled in the planning window is there next evening, and for everything that measures."""

import json
from pathlib import Path

import pytest

from stitchview.__main__ import main
from stitchview.follow.habits import Habits
from stitchview.plan.clothcount import ClothCount
from stitchview.ui.planning.clothpage import ClothPage
from stitchview.ui.planworks import PlanPlace
from tests.journeys.effects_of_planning import page_up
from tests.journeys.sofa import Sofa


def test_cloth_and_habits_are_kept_with_the_piece(
    sofa: Sofa, harbour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Settled one evening, found the next, in the window and by the commands, and not on another piece."""
    sofa.sit_down(harbour)
    sofa.works.cloth.plan.open(PlanPlace.CLOTH)
    page = page_up(sofa)
    assert isinstance(page, ClothPage)
    page.form.over.setValue(1)
    page.form.across.setValue(16)
    page.form.down.setValue(15.5)
    sofa.works.cloth.needle.use(Habits(length_mm=333))
    assert sofa.get_up()
    sofa.sit_down(harbour)
    assert sofa.works.cloth.plan.bench.piece.piece.count == ClothCount(16, 15.5)
    assert sofa.works.cloth.needle.habits.length_mm == 333
    assert sofa.works.cloth.plan.bench.piece.pitch.down_mm == pytest.approx(25.4 / 15.5)
    columns = sofa.desk.chart.columns
    assert sofa.get_up()
    capsys.readouterr()
    assert main(["size", str(harbour), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["upright"]["size"]["width_mm"] == pytest.approx(columns * 25.4 / 16)


def test_another_piece_has_cloth_of_its_own(sofa: Sofa, harbour: Path) -> None:
    """Its own count, and habits as she works by now."""
    sofa.sit_down(harbour)
    sofa.works.cloth.plan.open(PlanPlace.CLOTH)
    page = page_up(sofa)
    assert isinstance(page, ClothPage)
    page.form.across.setValue(9)
    sofa.works.cloth.needle.use(Habits(length_mm=333))
    assert sofa.charts.open_sample()
    book = sofa.works.cloth.plan.bench.piece
    assert book.piece.count is None
    assert book.count.across != 9
    assert book.habits.length_mm == 333

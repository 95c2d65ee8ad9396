"""The measuring tools tell the truth; what they measure is for a person to read."""

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication

from tests.speed.floor import (
    FloorWidget,
    Row,
    Stage,
    Timing,
    floor_timing,
    measure,
    median_of,
    table,
    timing_of,
)


@pytest.fixture
def stage(qapp: QApplication) -> Iterator[Stage]:
    """A small floor on the screen."""
    assert qapp
    stage = Stage(FloorWidget(200, 100), 200, 100)
    yield stage
    stage.close()


def test_each_frame_is_painted_once(stage: Stage) -> None:
    """Three changes give three paintings, no fewer and no more."""
    before = stage.paints
    for _ in range(3):
        stage.frame(stage.widget.update)
    assert stage.paints == before + 3


def test_the_floor_shows_its_picture(stage: Stage) -> None:
    """What is on the screen is the ready picture, corner to corner."""
    shown = stage.widget.grab().toImage()
    assert (shown.width(), shown.height()) == (200, 100)
    assert {shown.pixelColor(x, y).name() for x in (0, 199) for y in (0, 99)} == {"#2f5d62"}


def test_a_change_that_paints_nothing_is_not_taken_for_a_fast_one(stage: Stage) -> None:
    """Without a painting there is nothing to measure, and that is said."""
    with pytest.raises(RuntimeError, match="did not make the widget paint"):
        stage.frame(lambda: None)


def test_every_frame_is_asked_for_in_turn() -> None:
    """The frames get the numbers 0, 1, 2 and so on."""
    asked: list[int] = []
    timing = measure(asked.append, 7)
    assert asked == list(range(7))
    assert 0 <= timing.p50 <= timing.p95 <= timing.max


def test_the_floor_can_be_measured(qapp: QApplication) -> None:
    """A short measuring of a small floor gives figures in order."""
    assert qapp
    timing = floor_timing(5, 200, 100)
    assert 0 < timing.p50 <= timing.p95 <= timing.max


def test_percentiles_are_those_of_a_known_row() -> None:
    """Of 0, 1, ... 100 the middle is 50 and 95 of 100 keep within 95."""
    assert timing_of([float(n) for n in range(101)]) == Timing(50.0, 95.0, 100.0)


def test_the_middle_run_counts_column_by_column() -> None:
    """Of three runs each figure is the middle one of its column."""
    runs = [Timing(1, 9, 9), Timing(2, 4, 30), Timing(3, 5, 20)]
    assert median_of(runs) == Timing(2, 5, 20)


def test_the_table_says_what_was_met_and_what_was_missed() -> None:
    """Ratios are taken from the floor's middle frame."""
    rows = [Row("pan", Timing(0.5, 0.9, 1.0), {"p95": 2}), Row("jump", Timing(1.0, 3.0, 4.0), {"p95": 4})]
    assert table(rows, Timing(0.5, 0.6, 0.7)) == (
        "| case | p50 | p95 | max | p50 x | p95 x | bar | |\n"
        "|---|---|---|---|---|---|---|---|\n"
        "| the floor | 0.500 | 0.600 | 0.700 | 1.00 | 1.20 |  |  |\n"
        "| pan | 0.500 | 0.900 | 1.000 | 1.00 | 1.80 | p95 <= 2 | met |\n"
        "| jump | 1.000 | 3.000 | 4.000 | 2.00 | 6.00 | p95 <= 4 | missed |\n"
    )

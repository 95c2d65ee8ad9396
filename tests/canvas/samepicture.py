"""The main promise of the canvas, tried with any chart and any evening, in this or in a process of its own.

Run alone (`python -m tests.canvas.samepicture EXAMPLES`) it tries so many evenings on the screen it
finds, so that a test can ask for one of another scaling.
"""

import sys
from collections.abc import Sequence

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtWidgets import QApplication

from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN
from tests.canvas.charts import Making, full_chart
from tests.canvas.reference import painted, plain_view
from tests.canvas.rulerstage import HAPPENINGS, ORIENTATIONS
from tests.canvas.rulerstage import keeps_its_promise as ruler_keeps_its_promise
from tests.canvas.stage import LOOKS, Stage, Step

PITCHES = (1 / 8, 0.3, 0.5, 0.77, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 16, 17, 24, 31, 45, 60)
SHAPES = ((1, 1), (1, 23), (37, 1), (7, 5), (23, 19), (40, 31), (71, 64), (130, 131))

Chunk = Sequence[Step]
STATED = st.sampled_from((OPEN, DONE, DONE, FIRST_LEG, LATER, MISTAKE))


def step(name: str, *numbers: st.SearchStrategy[float]) -> st.SearchStrategy[Step]:
    """Steps of one name with numbers as drawn."""
    return st.builds(Step, st.just(name), st.tuples(*numbers))


def _steps() -> st.SearchStrategy[Step]:
    place, small, pixels = st.integers(0, 140), st.integers(0, 10), st.integers(-70, 70)
    return st.one_of(
        step("mark", st.integers(0, 3), st.integers(0, 400), st.integers(1, 40), STATED),
        step("mark", st.integers(0, 3), st.integers(0, 400), st.integers(1, 3), STATED),
        step("undo"),
        step("pan", pixels, pixels),
        # Steps that are whole pixels at every scaling of the screen, so that they scroll.
        step("pan", *2 * [st.integers(-4, 4).map(lambda n: n * 15)]),
        step("pan", *2 * [st.integers(-4, 4).map(lambda n: n * 14)]),
        step("zoom", st.sampled_from(PITCHES), st.integers(0, 150), st.integers(0, 100)),
        step("zoom_steps", st.sampled_from((1, -1, 3, -3, 0.3))),
        step("whole"),
        step("back"),
        step("reveal", place, place),
        step("band", place, place, st.sampled_from((0, 1, 3, 10)), st.sampled_from((0, 1, 3, 10))),
        step("unband"),
        step("look", st.integers(0, len(LOOKS) - 1)),
        step("hand", st.integers(0, 5)),
        step("hold_back", st.integers(0, 3)),
        step("tens", st.integers(0, 9), st.integers(0, 9)),
        step("tens_around", place, place),
        step("cursor", place, place),
        step("stretch", place, place, small, small),
        step("sweep", place, place, small),
        step("recall", place, place, small, small),
        step("unpoint"),
        step("sign", place, place, small),
        step("sign", place, place, small),
        step("unsign"),
        step("size", st.integers(50, 210), st.integers(50, 160)),
        step("turn_hoop", st.integers(0, 3), st.integers(0, 1)),
        step("make_ready", st.integers(1, 30)),
        step("turn"),
    )


MAKINGS = st.builds(
    lambda shape, seed: Making(shape[0], shape[1], seed), st.sampled_from(SHAPES), st.integers(0, 1 << 16)
)
EVENINGS = st.lists(st.lists(_steps(), min_size=1, max_size=5), min_size=1, max_size=8)


def keeps_its_promise(making: Making, evening: Sequence[Chunk]) -> None:
    """Live an evening on a chart; whenever the window has drawn, it must show what a fresh one would."""
    stage = Stage(full_chart(making), 150, 100)
    try:
        for chunk in evening:
            stage.take(chunk)
            difference = stage.difference()
            assert difference == "", f"{difference} after {chunk}"
    finally:
        stage.close()


def looks_as_described(making: Making, pitch: int) -> None:
    """A window of squares must show fills and lines where an independent drawing has them."""
    stage = Stage(full_chart(making, bare=True), 150, 100)
    try:
        stage.zoom(pitch, 40, 30)
        stage.mark(0, 0, 90, LATER)
        stage.mark(0, 5, 30, DONE)
        stage.mark(0, 61, 30, FIRST_LEG)
        stage.mark(0, 130, 20, MISTAKE)
        stage.pan(15, 30)
        told = painted(stage.chart, stage.marks.squares, plain_view(stage.canvas.view), stage.canvas.showing)
        told.compare(stage.shown_canvas())
    finally:
        stage.close()


def stays_in_place(pitch: int) -> None:
    """Wherever the chart is moved to, in small steps, its lines must stand on the same pixels of it."""
    stage = Stage(full_chart(Making(23, 19, 2)), 150, 100)
    try:
        stage.zoom(pitch, 40, 30)
        for number in range(24):
            stage.pan(15 if number % 8 < 4 else -15, 6 if number < 12 else -9)
            difference = stage.difference()
            assert difference == "", f"{difference} after {number} steps"
    finally:
        stage.close()


def main(examples: int) -> None:
    """Try so many evenings here, and say at which scaling."""
    application = QApplication(sys.argv[:1])
    hush = settings(
        max_examples=examples,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    hush(given(MAKINGS, EVENINGS)(keeps_its_promise))()
    hush(given(ORIENTATIONS, st.integers(1, 200), HAPPENINGS)(ruler_keeps_its_promise))()
    for pitch in (1, 3, 5, 7, 10, 16, 25):
        looks_as_described(Making(23, 19, pitch), pitch)
    for pitch in (7, 9, 13, 31):
        stays_in_place(pitch)
    sys.stdout.write(f"{application.devicePixelRatio():g}\n")


if __name__ == "__main__":
    np.seterr(all="raise", under="ignore")
    main(int(sys.argv[1]))

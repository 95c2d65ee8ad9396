"""A wash or dye test goes with its thread, into the key and onto the card; a blend runs as its threads do."""

from collections.abc import Callable
from dataclasses import replace

import pypdfium2  # type: ignore[import-untyped]
import pytest

from stitchview.canvas.cardsheet import card_pdf
from stitchview.chart.model import Chart, KeyEntry, Symbol, Thread
from stitchview.done.finishnotes import BLEEDS, FAST, UNSURE, ThreadTest
from stitchview.done.marks import Marks, noting
from stitchview.plan.holeorder import HoleOrder, card_of
from stitchview.plan.threadtests import told_test, wash_test

PLAIN = KeyEntry("a", Symbol("a"), "Sample cotton 17, slate blue", number="17")
RED, BLUE = ("Sample silk 4", "4"), ("Sample silk 5", "5")


def test_a_thread_is_known_by_name_and_number_whatever_its_capitals() -> None:
    """As everywhere, spaces and capitals tell nothing apart; another number does."""
    test = ThreadTest("sample  COTTON 17, slate blue", "17", BLEEDS, "cold water")
    assert wash_test((test,), PLAIN) == test
    assert told_test(test) == "colour runs: cold water"
    assert wash_test((replace(test, number="18"),), PLAIN) is None
    assert wash_test((), PLAIN) is None


@pytest.mark.parametrize(
    ("results", "told"),
    [((FAST, BLEEDS), BLEEDS), ((UNSURE, FAST), UNSURE), ((FAST, FAST), FAST), ((BLEEDS, UNSURE), BLEEDS)],
)
def test_a_blend_runs_if_one_of_its_threads_does(results: tuple[str, str], told: str) -> None:
    """The gravest of what was found is told."""
    blend = replace(PLAIN, blend=tuple(Thread(name, number) for name, number in (RED, BLUE)))
    tests = tuple(ThreadTest(*each, result) for each, result in zip((RED, BLUE), results, strict=True))
    found = wash_test(tests, blend)
    assert found is not None
    assert found.result == told


@pytest.mark.usefixtures("qapp")
def test_it_stands_on_the_thread_card(small_chart: Callable[[], Chart]) -> None:
    """Read back from the PDF by another program, beside the thread it was made of."""
    marks = Marks(small_chart())
    entry = marks.chart.key[0]
    changed = marks.notes.putting(ThreadTest(entry.name, entry.number, BLEEDS, "cold"))
    assert changed is not None
    assert "colour runs" not in _words(marks)
    marks.apply(noting(marks.chart, changed))
    assert "colour runs: cold" in _words(marks)


def _words(marks: Marks) -> str:
    document = pypdfium2.PdfDocument(card_pdf(marks.chart, card_of(marks, HoleOrder.KEY)))
    try:
        return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in document)
    finally:
        document.close()

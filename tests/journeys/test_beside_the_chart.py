"""The list beside the chart, and what is left of the thread in hand, counted here and in all."""

from collections import Counter
from pathlib import Path

import numpy as np
from scipy import ndimage

from stitchview.ui.asidepanel import Aside, AsidePanel
from tests.journeys.sofa import Sofa


def show(sofa: Sofa, aside: Aside) -> AsidePanel:
    """Thread 2 in hand, the pointer in the third block of the third row, and the list on."""
    sofa.press("]", "]")
    sofa.put_pointer((25, 25))
    sofa.press("I")
    panel = sofa.window.panels.aside
    at = list(Aside).index(aside)
    panel.kind.setCurrentIndex(at)
    panel.kind.activated.emit(at)
    sofa.qtbot.waitUntil(lambda: bool(panel.told.text()))
    return panel


def texts(panel: AsidePanel) -> list[str]:
    return [panel.list.item(row).text() for row in range(panel.list.count())]


def test_islands_are_those_that_scipy_labels(sofa: Sofa, harbour: Path) -> None:
    """The number of islands and the size of the largest agree with scipy.ndimage.label."""
    sofa.sit_down(harbour)
    panel = show(sofa, Aside.LARGEST)
    labels, count = ndimage.label(sofa.desk.chart.squares == 2)
    largest = int(np.bincount(labels.ravel())[1:].max())
    sofa.qtbot.waitUntil(lambda: f"{count:,} islands" in panel.told.text())
    sofa.qtbot.waitUntil(lambda: texts(panel)[0].startswith(f"{largest} squares, "))


def test_a_block_lists_the_threads_it_needs(sofa: Sofa, harbour: Path) -> None:
    """Each thread with what is left of it in the ten by ten, counted square by square; a click takes one."""
    sofa.sit_down(harbour)
    panel = show(sofa, Aside.BLOCK)
    counts = Counter(sofa.desk.chart.squares[20:30, 20:30].ravel().tolist())
    del counts[0]
    expected = [f"{counts[number]} left: Sample cotton {number}, shade {number}" for number in sorted(counts)]
    sofa.qtbot.waitUntil(lambda: texts(panel) == expected)
    assert panel.told.text() == f"Block 3, 3: untouched, {counts.total()} of {counts.total()} left"
    sofa.click_line(panel.list, 0)
    assert sofa.works.holding.thread == min(counts)
    sofa.drag((20, 20), (22, 20))
    sofa.put_pointer((25, 25))
    sofa.press("3", "Return", "Shift+Right", "Return")
    sofa.qtbot.waitUntil(lambda: panel.told.text().startswith("Block 3, 3: begun"))


def test_without_a_thread_the_list_says_what_to_do(sofa: Sofa, harbour: Path) -> None:
    """Islands are a thread's, so one must be in hand."""
    sofa.sit_down(harbour)
    sofa.press("I")
    panel = sofa.window.panels.aside
    sofa.qtbot.waitUntil(lambda: panel.told.text().startswith("Take a thread in hand"))
    assert not panel.list.count()


def test_what_is_left_of_the_thread_is_counted(sofa: Sofa, harbour: Path) -> None:
    """In the band, in view and in all, at the foot of the key; gone when the thread is put down."""
    sofa.sit_down(harbour)
    sofa.press("]", "]")
    sofa.put_pointer((20, 20))
    sofa.press("B", "+", "+", "+", "+", "+", "+", "+", "+")
    squares, area = sofa.desk.chart.squares, sofa.canvas.view.area
    band, view = int((squares[16:26] == 2).sum()), int((squares[area.slices()] == 2).sum())
    everywhere = int((squares == 2).sum())
    assert view < everywhere
    words = f"Left of shade 2: {band} in the band, {view} in view, {everywhere} in all"
    sofa.qtbot.waitUntil(lambda: sofa.window.panels.keys.hand.text() == words)
    sofa.press("Shift+K")
    sofa.qtbot.waitUntil(lambda: not sofa.window.panels.keys.hand.isVisible())

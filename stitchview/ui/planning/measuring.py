"""The helper for measuring cloth: threads counted at three places each way, and what they tell."""

from collections.abc import Callable

from PySide6.QtWidgets import QGridLayout, QGroupBox, QLabel, QPushButton, QSpinBox

from stitchview.errors import CommandError
from stitchview.follow.clothpitch import INCH_MM
from stitchview.plan.clothmeasure import MEASURED_MM, PLACES, MeasuredCloth, measured
from stitchview.ui.planning.planpage import words_label

MOST_COUNTED = 999
HOW = (
    "Lay a ruler along a thread, count the threads over 10 cm at three places far apart, first across, then"
    " down. A pin at each end helps."
)


class Measuring(QGroupBox):
    """`counted` is called with every whole count, `taken` when it is to be reckoned with."""

    def __init__(
        self, counted: Callable[[MeasuredCloth | None], None], taken: Callable[[MeasuredCloth], None]
    ) -> None:
        super().__init__("Count the threads")
        self._counted, self._taken = counted, taken
        self._found: MeasuredCloth | None = None
        self.across = [_place("across", number) for number in range(1, PLACES + 1)]
        self.down = [_place("down", number) for number in range(1, PLACES + 1)]
        self.told = words_label()
        self.told.setAccessibleName("What the counts tell")
        self.take = QPushButton("&Reckon with this count")
        self._lay_out()
        for box in (*self.across, *self.down):
            box.valueChanged.connect(self._count)
        self.take.clicked.connect(self._take)
        self._tell()

    def fill(self, cloth: MeasuredCloth | None) -> None:
        """Show what was counted before."""
        if cloth is None or cloth == self._found:
            return
        for boxes, way in ((self.across, cloth.across), (self.down, cloth.down)):
            if way.over_mm == MEASURED_MM and len(way.threads) <= PLACES:
                for box, threads in zip(boxes, way.threads, strict=False):
                    box.setValue(round(threads))

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setVerticalSpacing(6)
        grid.addWidget(words_label(HOW, quiet=True), 0, 0, 1, PLACES + 1)
        for row, (words, boxes) in enumerate((("Across", self.across), ("Down", self.down)), 1):
            label = QLabel(words)
            label.setBuddy(boxes[0])
            grid.addWidget(label, row, 0)
            for column, box in enumerate(boxes, 1):
                grid.addWidget(box, row, column)
        grid.addWidget(self.told, 3, 0, 1, PLACES + 1)
        grid.addWidget(self.take, 4, 0, 1, PLACES + 1)

    def _count(self) -> None:
        ways = [[float(box.value()) for box in boxes] for boxes in (self.across, self.down)]
        try:
            self._found = MeasuredCloth(measured(ways[0]), measured(ways[1])) if all(map(any, ways)) else None
        except CommandError:
            self._found = None
        self._tell()
        self._counted(self._found)

    def _take(self) -> None:
        if self._found is not None:
            self._taken(self._found)

    def _tell(self) -> None:
        self.take.setEnabled(self._found is not None)
        self.told.setText(measured_words(self._found) if self._found is not None else "")
        self.told.setVisible(self._found is not None)


def measured_words(cloth: MeasuredCloth) -> str:
    """What counting came to, and how sure it is."""
    ways = (("Across", cloth.across), ("Down", cloth.down))
    lines = [f"{name} {way.words}." for name, way in ways]
    low, middle, high = cloth.off_true
    if cloth.tells_uneven:
        least, most = sorted((low.percent, high.percent))
        lines.append(f"The cloth is uneven: {middle.percent:.1f} %, {least:.1f} to {most:.1f} %.")
    else:
        unsure = max(low.percent, high.percent)
        lines.append(f"No unevenness is sure: it may be anything up to {unsure:.1f} %. Count at more places.")
    return "\n".join(lines)


def _place(way: str, number: int) -> QSpinBox:
    box = QSpinBox()
    box.setRange(0, MOST_COUNTED)
    box.setSpecialValueText("–")
    box.setAccessibleName(f"Threads over 10 cm {way}, place {number}")
    box.setToolTip(f"{MEASURED_MM / 10:g} cm are {MEASURED_MM / INCH_MM:.2f} inches")
    box.setKeyboardTracking(False)
    box.setMinimumHeight(box.sizeHint().height())
    return box

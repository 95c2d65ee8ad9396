"""The fields of the Cloth page: counts both ways, over how many threads, what becomes of the piece."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QFormLayout, QHBoxLayout, QPushButton, QSpinBox, QWidget

from stitchview.plan.clothcount import LEAST_PER_INCH, MOST_OVER, MOST_PER_INCH, ClothCount
from stitchview.plan.clothreport import SizeWish
from stitchview.plan.clothsize import MOST_MARGIN_MM, USUAL_MARGINS, Making, Margin, Opening
from stitchview.ui.planning.planpage import add_field, number_box

UNITS = ("to the inch", "to 10 cm")
MAKING_WORDS = {Making.FRAME: "a frame", Making.HOOP: "a hoop", Making.CUSHION: "a cushion"}
MOST_OPENING_CM = 300.0


class ClothForm(QWidget):
    """Calls `changed` after each change by hand; `show_wish` fills it without a call."""

    def __init__(self, changed: Callable[[], None]) -> None:
        super().__init__()
        self._changed, self._filling = changed, False
        self.across = number_box((LEAST_PER_INCH, MOST_PER_INCH), "Threads across", 2)
        self.down = number_box((LEAST_PER_INCH, MOST_PER_INCH), "Threads down", 2)
        self.unit = QComboBox()
        self.unit.addItems(list(UNITS))
        self.unit.setAccessibleName("What the counts are for")
        self.over = QSpinBox()
        self.over.setRange(1, MOST_OVER)
        self.over.setSuffix(" threads")
        self.over.setMinimumHeight(self.over.sizeHint().height())
        self.suggested = QPushButton("As the &chart suggests")
        self.making = QComboBox()
        for making, words in MAKING_WORDS.items():
            self.making.addItem(words, making.value)
        self.bare = number_box((0, MOST_MARGIN_MM / 10), "Bare cloth on each side", 1, " cm")
        self.hem = number_box((0, MOST_MARGIN_MM / 10), "Seam or hem on each side", 1, " cm")
        self.wide = number_box((0, MOST_OPENING_CM), "Width of the frame or cushion", 1, " cm")
        self.high = number_box((0, MOST_OPENING_CM), "Height of the frame or cushion", 1, " cm")
        for box in (self.wide, self.high):
            box.setSpecialValueText("not told")
        self._lay_out()
        self._connect()

    @property
    def count(self) -> ClothCount:
        """The count as it stands in the fields."""
        metric = self.unit.currentIndex() == 1
        return ClothCount(self.across.value(), self.down.value(), metric, self.over.value())

    @property
    def wish(self) -> SizeWish:
        """All of it as it stands in the fields; no opening unless both its sides are told."""
        sides = self.wide.value() * 10, self.high.value() * 10
        return SizeWish(
            self.count,
            Making(self.making.currentData()),
            Margin(self.bare.value() * 10, self.hem.value() * 10),
            Opening(*sides) if all(sides) else None,
        )

    def show_wish(self, wish: SizeWish) -> None:
        """Fill the fields; a side of an opening that is not told whole stays as it is."""
        self._filling = True
        self._fit_bounds(wish.count.per_100_mm)
        self.unit.setCurrentIndex(int(wish.count.per_100_mm))
        for box, value in (
            (self.across, wish.count.across),
            (self.down, wish.count.down),
            (self.bare, wish.margin.bare_mm / 10),
            (self.hem, wish.margin.hem_mm / 10),
        ):
            box.setValue(value)
        self.over.setValue(wish.count.over)
        self.making.setCurrentIndex(self.making.findData(wish.making.value))
        if wish.opening is not None:
            self.wide.setValue(wish.opening.width_mm / 10)
            self.high.setValue(wish.opening.height_mm / 10)
        self._filling = False

    def _lay_out(self) -> None:
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setVerticalSpacing(8)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        add_field(form, "Threads &across", self.across)
        add_field(form, "Threads &down", self.down)
        add_field(form, "Count&ed", self.unit)
        add_field(form, "Stitches &over", self.over)
        add_field(form, "", self.suggested)
        add_field(form, "It becomes", self.making)
        add_field(form, "&Bare cloth", self.bare)
        add_field(form, "&Seam or hem", self.hem)
        add_field(form, "&Frame, cushion", _beside(self.wide, self.high))

    def _connect(self) -> None:
        for box in (self.across, self.down, self.bare, self.hem, self.wide, self.high):
            box.valueChanged.connect(self._tell)
        self.over.valueChanged.connect(self._tell)
        self.unit.activated.connect(self._change_unit)
        self.making.activated.connect(self._change_making)

    def _tell(self) -> None:
        if not self._filling:
            self._changed()

    def _change_unit(self, index: int) -> None:
        """Tell the same cloth in the other measure."""
        metric = index == 1
        before = ClothCount(self.across.value(), self.down.value(), not metric, self.over.value())
        counts = before.per_10_cm if metric else before.per_inch
        self._filling = True
        self._fit_bounds(metric)
        self.across.setValue(counts[0])
        self.down.setValue(counts[1])
        self._filling = False
        self._changed()

    def _change_making(self) -> None:
        """Take the usual margins of what it becomes now."""
        margin = USUAL_MARGINS[Making(self.making.currentData())]
        self._filling = True
        self.bare.setValue(margin.bare_mm / 10)
        self.hem.setValue(margin.hem_mm / 10)
        self._filling = False
        self._changed()

    def _fit_bounds(self, metric: bool) -> None:
        share = 100 / 25.4 if metric else 1.0
        for box in (self.across, self.down):
            # Rounded inwards, so that whatever can be typed can be reckoned with.
            box.setRange(round(LEAST_PER_INCH * share + 0.005, 2), round(MOST_PER_INCH * share - 0.005, 2))


def _beside(*parts: QWidget) -> QWidget:
    whole = QWidget()
    row = QHBoxLayout(whole)
    row.setContentsMargins(0, 0, 0, 0)
    for part in parts:
        row.addWidget(part, 1)
    whole.setFocusProxy(parts[0])
    return whole

"""The page about the thread card: its order, its picture, and the sheets to print."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from stitchview.canvas.cardsheet import card_picture, write_card
from stitchview.chart.problems import counted
from stitchview.errors import StitchviewError
from stitchview.plan.card import ThreadCard
from stitchview.plan.cardpages import PAPERS, CardPlace, card_pages
from stitchview.plan.holeorder import HoleOrder, card_of
from stitchview.plan.likenesspairs import LookAlikes, look_alikes
from stitchview.ui.messages import say_error
from stitchview.ui.planning.asking import FileWish, ask_to_save
from stitchview.ui.planning.planpage import GAP, PlanPage, add_field, side_panel, words_label
from stitchview.ui.planning.plantable import PlanTable
from stitchview.ui.planworks import PlanPlace

ORDER_WORDS = {
    HoleOrder.KEY: "as the key",
    HoleOrder.COLOUR: "by colour",
    HoleOrder.BLOCKS: "as the next blocks need",
}
PIXELS_PER_MM = 3.6
NO_THREADS = "The key of this chart has no threads, so there is no card to make."


class CardPage(PlanPage):
    """Fields at the left, the cards as they are printed at the right."""

    place = PlanPlace.CARD

    def __init__(self, table: PlanTable) -> None:
        super().__init__()
        self._table = table
        self._alike: LookAlikes | None = None
        self._alike_in = table.chart.key
        self._drawn: tuple[object, ...] = ()
        self.order, self.paper = QComboBox(), QComboBox()
        for order, words in ORDER_WORDS.items():
            self.order.addItem(words, order.value)
        for name, paper in PAPERS.items():
            self.paper.addItem(f"{paper.name} ({paper.width:g} x {paper.height:g} mm)", name)
        self.save = QPushButton("&Save to print (PDF) …")
        self.told = words_label()
        self._pictures = QHBoxLayout()
        self._lay_out()
        self.order.activated.connect(self._choose)
        self.paper.activated.connect(self._choose)
        self.save.clicked.connect(self._ask)

    @property
    def card(self) -> ThreadCard:
        """The card in the order that is chosen."""
        key = self._table.chart.key
        if self._alike is None or key is not self._alike_in:
            self._alike, self._alike_in = look_alikes(key), key
        bench = self._table.bench
        order = HoleOrder(self.order.currentData())
        return card_of(bench.desk.marks, order, bench.pointer.square_or_middle, self._alike)

    @property
    def pictures(self) -> int:
        """How many cards are shown."""
        return self._pictures.count()

    def refresh(self) -> None:
        """Show the card as things are now; what would look the same stays."""
        threads = bool(self._table.chart.key)
        self.save.setEnabled(threads)
        if not threads:
            self.told.setText(NO_THREADS)
            return
        card, paper = self.card, PAPERS[self.paper.currentData()]
        places = [place for page in card_pages(card, paper) for place in page.cards]
        self.told.setText(card_words(card, len(places)))
        drawn = (card, paper.name)
        if drawn != self._drawn:
            self._drawn = drawn
            self._draw(places)

    def write(self, path: Path) -> bool:
        """Write the sheets; whether they could be written. What stands in the way is said."""
        try:
            sheets = write_card(self._table.chart, self.card, path, PAPERS[self.paper.currentData()])
        except StitchviewError as error:
            say_error(self, error)
            return False
        self.told.setText(f"Wrote “{path.name}”: {counted(sheets, 'sheet')}.")
        return True

    def _lay_out(self) -> None:
        fields = QWidget()
        left = QVBoxLayout(fields)
        left.setSpacing(GAP)
        form = QFormLayout()
        form.setVerticalSpacing(8)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        add_field(form, "&Order", self.order)
        add_field(form, "&Paper", self.paper)
        left.addLayout(form)
        left.addWidget(self.save)
        left.addWidget(self.told)
        left.addStretch(1)
        shown = QWidget()
        shown.setLayout(self._pictures)
        self._pictures.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self._pictures.setSpacing(GAP)
        area = QScrollArea()
        area.setWidget(shown)
        area.setWidgetResizable(True)
        area.setAccessibleName("The cards as they are printed")
        outer = QHBoxLayout(self)
        outer.setContentsMargins(0, GAP, 0, 0)
        outer.addWidget(side_panel(fields))
        outer.addWidget(area, 1)

    def _draw(self, places: list[CardPlace]) -> None:
        while (item := self._pictures.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.deleteLater()
        for place in places:
            image = card_picture(self._table.chart, place, PIXELS_PER_MM, self.devicePixelRatioF())
            label = QLabel()
            label.setPixmap(QPixmap.fromImage(image))
            label.setAccessibleName(f"Card {place.number} of {place.of}")
            self._pictures.addWidget(label)

    def _choose(self) -> None:
        self.refresh()

    def _ask(self) -> None:
        name = f"{self._table.chart.title or 'chart'} thread card.pdf".replace("/", "-")
        wish = FileWish("Save the thread card", "PDF (*.pdf)", "pdf", Path.home() / name)
        ask_to_save(wish, self.write, self)


def card_words(card: ThreadCard, cards: int) -> str:
    """What is to be said of a card."""
    told = [f"{counted(len(card.holes), 'hole')} on {counted(cards, 'card')}."]
    warned = sum(bool(hole.beware) for hole in card.holes)
    if warned:
        told.append(
            f"{counted(warned, 'thread')} look like another; the card says in which hole that one is."
        )
    if card.beside:
        pairs = ", ".join(f"{first} and {second}" for first, second in card.beside[:5])
        told.append(f"These look alike and still lie beside each other: {pairs}.")
    else:
        told.append("None that look alike lie beside each other.")
    told.append("The chart’s title is on every card, so that cards of two pieces are not mixed.")
    return "\n\n".join(told)

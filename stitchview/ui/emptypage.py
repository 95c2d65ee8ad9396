"""The workbasket: what the window shows while no chart is open, all her pieces as cards."""

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QModelIndex, QPoint, QSize, Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListView,
    QMenu,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from stitchview.done.basket import Basket, Piece
from stitchview.errors import StitchviewError
from stitchview.ui.basketcards import CARD, CardPainter
from stitchview.ui.basketmodel import BasketModel, Face

EMPTY = "No pieces yet. Open a chart here, or drop it on the window; it will lie in this basket from then on."
HINT = "Press a card to go on where you stopped; its menu (right click, or the Menu key) lays it apart."
NOTHING_LIKE_IT = "No piece is called like that."


class EmptyListener(Protocol):
    """Who opens what is chosen."""

    def chart_asked(self) -> None:
        """Ask which chart to open."""

    def open_piece(self, piece: Piece) -> None:
        """Open the chart of a piece, wherever it lies by now."""

    def piece_taken_out(self, piece: Piece) -> None:
        """Take it off the charts opened lately too, or its card would come back."""

    def basket_failed(self, error: StitchviewError) -> None:
        """Say what could not be kept."""


class EmptyPage(QWidget):
    """Stands where the chart stands otherwise; one press on a card goes on where she stopped."""

    def __init__(self, listener: EmptyListener, basket: Basket) -> None:
        super().__init__()
        self._listener, self._basket, self._also = listener, basket, tuple[Path, ...]()
        self.model = BasketModel(basket, self)
        self.open_button = QPushButton("&Open a chart …")
        self.search = QLineEdit()
        self.search.setPlaceholderText("Find a piece")
        self.search.setAccessibleName("Find a piece by its name")
        self.search.setClearButtonEnabled(True)
        self.search.setMaximumWidth(2 * CARD)
        self.cards = _cards(self.model)
        self.told = QLabel(EMPTY)
        self.told.setWordWrap(True)
        self.told.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.hint = QLabel(HINT)
        self.hint.setWordWrap(True)
        self._lay_out()
        self.open_button.clicked.connect(self._ask)
        self.search.textChanged.connect(self._look_for)
        self.search.returnPressed.connect(self._open_first)
        self.cards.clicked.connect(self._open)
        self.cards.activated.connect(self._open)
        self.cards.customContextMenuRequested.connect(self._open_menu)
        self.cards.selectionModel().currentChanged.connect(self._enable)
        self.model.modelReset.connect(self._enable)
        self.setFocusProxy(self.cards)
        self.show_charts(())

    def show_charts(self, charts: Sequence[Path]) -> None:
        """Read the basket anew, with charts opened lately that are not in it yet."""
        self._also = tuple(charts)
        at = self.cards.currentIndex().row()
        self.model.refresh(self._also)
        if self.model.rowCount():
            self.cards.setCurrentIndex(self.model.index(min(max(at, 0), self.model.rowCount() - 1)))
        self._enable()

    @property
    def face(self) -> Face | None:
        """The card that is chosen."""
        return self.model.face_at(self.cards.currentIndex())

    def _lay_out(self) -> None:
        top, outer = QHBoxLayout(), QVBoxLayout(self)
        title = QLabel("Workbasket")
        font = title.font()
        font.setPointSizeF(font.pointSizeF() * 1.35)
        font.setBold(True)
        title.setFont(font)
        for part in (title, self.search, self.open_button):
            top.addWidget(part)
        top.insertStretch(1, 1)
        outer.setContentsMargins(18, 14, 18, 12)
        outer.setSpacing(10)
        outer.addLayout(top)
        outer.addWidget(self.told)
        outer.addWidget(self.cards, 1)
        outer.addWidget(self.hint)

    def _enable(self) -> None:
        empty = not self.model.rowCount()
        self.told.setText(NOTHING_LIKE_IT if self.search.text() else EMPTY)
        self.told.setVisible(empty)
        for part in (self.cards, self.hint):
            part.setVisible(not empty)

    def _ask(self) -> None:
        self._listener.chart_asked()

    def _look_for(self, words: str) -> None:
        self.model.look_for(words)
        if self.model.rowCount():
            self.cards.setCurrentIndex(self.model.index(0))

    def _open_first(self) -> None:
        if self.model.rowCount():
            self._open(self.model.index(0))

    def _open(self, index: QModelIndex) -> None:
        face = self.model.face_at(index)
        if face is not None:
            self._listener.open_piece(face.piece)

    def _go_on(self) -> None:
        self._open(self.cards.currentIndex())

    def _lay_apart(self) -> None:
        face = self.face
        if face is not None:
            self._change(face.piece, not face.piece.shelved)

    def _change(self, piece: Piece, shelved: bool) -> None:
        try:
            if piece.name not in {each.name for each in self._basket.pieces()}:
                self._basket.put(piece)
            self._basket.shelve(piece.name, shelved)
        except StitchviewError as error:
            self._listener.basket_failed(error)
        self.show_charts(self._also)

    def _take_out(self) -> None:
        face = self.face
        if face is None:
            return
        try:
            self._basket.take_out(face.piece.name)
        except StitchviewError as error:
            self._listener.basket_failed(error)
            return
        self._listener.piece_taken_out(face.piece)

    def _open_menu(self, place: QPoint) -> None:
        index = self.cards.indexAt(place)
        if index.isValid():
            self.cards.setCurrentIndex(index)
        face = self.face
        if face is None:
            return
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        apart = "&Take up again" if face.piece.shelved else "&Lay apart"
        menu.addAction("&Go on").triggered.connect(self._go_on)
        menu.addAction(apart).triggered.connect(self._lay_apart)
        menu.addAction("Take &out of the basket (the chart stays)").triggered.connect(self._take_out)
        menu.popup(self.cards.viewport().mapToGlobal(place))


def _cards(model: BasketModel) -> QListView:
    cards = QListView()
    cards.setModel(model)
    cards.setItemDelegate(CardPainter(cards))
    cards.setViewMode(QListView.ViewMode.IconMode)
    cards.setResizeMode(QListView.ResizeMode.Adjust)
    cards.setMovement(QListView.Movement.Static)
    cards.setUniformItemSizes(True)
    cards.setSpacing(2)
    cards.setMouseTracking(True)
    cards.setFrameShape(QListView.Shape.NoFrame)
    cards.setIconSize(QSize(CARD, CARD))
    cards.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
    cards.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
    cards.setAccessibleName("Your pieces")
    return cards

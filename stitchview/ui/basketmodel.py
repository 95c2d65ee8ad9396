"""The pieces of the workbasket as a list: what is written on each card, and its picture."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QPixmap

from stitchview.done.basket import Basket, Piece, matching
from stitchview.done.sittings import day_words, moment

FACE = Qt.ItemDataRole.UserRole


@dataclass(frozen=True, slots=True)
class Face:
    """A card: the piece, whether its chart is there now, and where its picture lies."""

    piece: Piece
    there: bool
    picture: Path

    @property
    def title(self) -> str:
        """What the piece is called."""
        return self.piece.title or self.piece.path.stem

    @property
    def far(self) -> str:
        """How far it is, and when it was worked on last."""
        if not self.piece.stitches:
            return "Not opened yet"
        day = moment(self.piece.last_ms) if self.piece.last_ms else None
        last = "not begun" if day is None else f"last on {day_words(day)}"
        return f"{self.piece.progress.share}, {last}"

    @property
    def filled(self) -> int:
        """How much of its bar is filled, in hundredths; none while its chart has not been opened."""
        return self.piece.progress.percent if self.piece.stitches else 0

    @property
    def waits(self) -> str:
        """What waits on it, or what stands in the way."""
        if not self.there:
            return "Not there now: plug its drive in, or go on to look for it"
        waiting = self.piece.waiting
        told = [
            f"{count:,} {words[0] if count == 1 else words[1]}"
            for count, words in (
                (waiting.parked, ("thread parked", "threads parked")),
                (waiting.to_buy, ("thread to buy", "threads to buy")),
                (waiting.doubts, ("square in doubt", "squares in doubt")),
            )
            if count
        ]
        return ", ".join(told) if told else "Laid apart" if self.piece.shelved else ""

    @property
    def spoken(self) -> str:
        """All of it, for a screen reader."""
        apart = "laid apart" if self.piece.shelved else ""
        return ", ".join(filter(None, (self.title, self.far, self.waits, apart)))


class BasketModel(QAbstractListModel):
    """The cards of a basket, those that match the words looked for; pictures are read when they are shown."""

    def __init__(self, basket: Basket, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._basket, self._all = basket, tuple[Face, ...]()
        self._words, self._pictures = "", dict[Path, QPixmap]()
        self.faces: tuple[Face, ...] = ()

    def refresh(self, also: Sequence[Path] = ()) -> None:
        """Read the basket anew; charts opened before there was a basket come after its pieces."""
        pieces = list(self._basket.pieces())
        known = {piece.path for piece in pieces}
        pieces += [Piece("", path, "") for path in also if path not in known]
        self._pictures.clear()
        self._all = tuple(
            Face(piece, piece.is_there, self._basket.picture_of(piece.name)) for piece in pieces
        )
        self.look_for(self._words)

    def look_for(self, words: str) -> None:
        """Show only the pieces that have all of the words in their names."""
        self.beginResetModel()
        self._words = words
        wanted = set(matching([face.piece for face in self._all], words))
        self.faces = tuple(face for face in self._all if face.piece in wanted)
        self.endResetModel()

    def face_at(self, index: QModelIndex | QPersistentModelIndex) -> Face | None:
        """The card of a line."""
        return self.faces[index.row()] if index.isValid() and index.row() < len(self.faces) else None

    def picture_of(self, face: Face) -> QPixmap:
        """Its picture; a null one where there is none."""
        if face.picture not in self._pictures:
            self._pictures[face.picture] = QPixmap(str(face.picture))
        return self._pictures[face.picture]

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008 (Qt's own)
        """How many cards."""
        return 0 if parent.isValid() else len(self.faces)

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """The card, its title, its place as a tip, and its words for a screen reader."""
        face = self.face_at(index)
        if face is None:
            return None
        told = {
            Qt.ItemDataRole.DisplayRole: face.title,
            Qt.ItemDataRole.ToolTipRole: str(face.piece.path),
            Qt.ItemDataRole.AccessibleTextRole: face.spoken,
            FACE: face,
        }
        return told.get(Qt.ItemDataRole(role) if role < FACE else FACE)

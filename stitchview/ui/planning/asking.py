"""Asking for a file: one to open, or one to write."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QWidget


@dataclass(frozen=True, slots=True)
class FileWish:
    """What is asked for: the words above, the kinds of files, the ending, and where to begin looking."""

    words: str
    kinds: str
    ending: str
    start: Path


def ask_to_open(wish: FileWish, took: Callable[[Path], object], parent: QWidget) -> None:
    """Ask for a file that is there; `took` is called with it."""
    asked = _dialog(wish, took, parent)
    asked.setFileMode(QFileDialog.FileMode.ExistingFile)
    asked.open()


def ask_to_save(wish: FileWish, took: Callable[[Path], object], parent: QWidget) -> None:
    """Ask for a file to write; whether to replace one is asked there too."""
    asked = _dialog(wish, took, parent)
    asked.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    asked.setDefaultSuffix(wish.ending)
    asked.selectFile(wish.start.name)
    asked.open()


def _dialog(wish: FileWish, took: Callable[[Path], object], parent: QWidget) -> QFileDialog:
    asked = QFileDialog(parent, wish.words, str(wish.start.parent), wish.kinds)
    asked.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    asked.fileSelected.connect(partial(_hand_on, took))
    return asked


def _hand_on(took: Callable[[Path], object], name: str) -> None:
    took(Path(name))

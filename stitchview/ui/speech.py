"""Runs said aloud by the platform's voice, where the optional part of Qt that speaks is installed."""

import importlib
from collections.abc import Callable
from functools import cache
from typing import Protocol, cast

MODULE = "PySide6.QtTextToSpeech"
MISSING = "Nothing here can speak; “pip install stitchview[speech]” adds a voice."


class Engine(Protocol):
    """What of Qt's speech is used; `say` breaks off what is being said."""

    def say(self, words: str, /) -> None:
        """Say words."""

    def stop(self) -> None:
        """Be silent."""


@cache
def make_of_engine() -> Callable[[], Engine] | None:
    """What makes a voice; None where that part of Qt, or what it needs of the system, is missing."""
    try:
        module = importlib.import_module(MODULE)
    except ImportError:
        return None
    return cast("Callable[[], Engine]", module.QTextToSpeech)


class Speech:
    """Says words while it is wanted; the voice is made when it is first needed."""

    def __init__(self, make: Callable[[], Engine] | None = None) -> None:
        self._make = make
        self._engine: Engine | None = None
        self.wanted = False

    def want(self, wanted: bool) -> None:
        """Speak from now on, or be silent."""
        self.wanted = wanted
        if not wanted:
            self.stop()

    def say(self, words: str) -> None:
        """Say words in place of what is being said."""
        if not self.wanted:
            return
        if self._engine is None:
            make = self._make or make_of_engine()
            self._engine = make() if make is not None else None
        if self._engine is not None:
            self._engine.say(words)

    def stop(self) -> None:
        """Break off what is being said."""
        if self._engine is not None:
            self._engine.stop()

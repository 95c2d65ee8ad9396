"""What she notes at the end: the day and the measured size, thread used in all, wash and dye tests."""

from dataclasses import dataclass
from datetime import date

from stitchview.done.skeinnotes import MOST_LABEL_LETTERS, MOST_SKEINS, MOST_STRAND_MM
from stitchview.errors import CommandError

FAST, BLEEDS, UNSURE = RESULTS = ("fast", "bleeds", "unsure")
"""What a wash or dye test showed: the colour stays, it runs, or it cannot be told."""
LEAST_SIZE_MM, MOST_SIZE_MM = 5.0, 20_000.0
MOST_WORDS_LETTERS = 500

Subject = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Finished:
    """Her word that the piece is finished, on a `day` (ISO 8601), with the stitches' measured size.

    Both sizes are in millimetres, from the first to the last stitch, and 0 where nothing was measured.
    Raises `CommandError` for what no piece can be.
    """

    day: str
    width_mm: float = 0.0
    height_mm: float = 0.0

    def __post_init__(self) -> None:
        try:
            told = date.fromisoformat(self.day)
        except ValueError as error:
            raise CommandError(f"“{self.day}” is no day.", "Write it as 2026-11-25.") from error
        if told.year < 1900 or told.isoformat() != self.day:
            raise CommandError(f"“{self.day}” is no day.", "Write it as 2026-11-25.")
        if (self.width_mm == 0) != (self.height_mm == 0):
            raise CommandError("Only one side was measured.", "Measure both, from first to last stitch.")
        for each in (self.width_mm, self.height_mm):
            if each and not LEAST_SIZE_MM <= each <= MOST_SIZE_MM:
                raise CommandError(
                    f"No piece measures {each / 10:g} cm.",
                    f"Give {LEAST_SIZE_MM / 10:g} cm to {MOST_SIZE_MM / 1000:g} m, in centimetres or inches.",
                )

    @property
    def measured(self) -> bool:
        """Whether she measured it."""
        return self.width_mm > 0

    @property
    def date(self) -> date:
        """The day it was finished."""
        return date.fromisoformat(self.day)

    @property
    def subject(self) -> Subject:
        """One for the whole piece."""
        return ("finished",)


@dataclass(frozen=True, slots=True)
class ThreadUsed:
    """Her word at the end that so many `skeins` of a thread went into the piece in all.

    `reckoned_mm` is the single strand that geometry gave for what was done of it then. It goes before
    all other notes on skeins of that thread. Raises `CommandError` for what one cannot have used.
    """

    name: str
    number: str
    skeins: float
    reckoned_mm: float = 0.0

    def __post_init__(self) -> None:
        _check_thread(self.name, self.number)
        if not 0 < self.skeins <= MOST_SKEINS:
            raise CommandError(
                f"One cannot have used {self.skeins:g} skeins.",
                f"Give a number above 0 and up to {MOST_SKEINS:,.0f}.",
            )
        if not 0 <= self.reckoned_mm <= MOST_STRAND_MM:
            raise ValueError("a note about thread used tells a length that cannot be")

    @property
    def subject(self) -> Subject:
        """The thread's name and number."""
        return self.name, self.number


@dataclass(frozen=True, slots=True)
class ThreadTest:
    """What a wash or dye test of a thread showed, one of `RESULTS`, and her words about it."""

    name: str
    number: str
    result: str
    words: str = ""

    def __post_init__(self) -> None:
        _check_thread(self.name, self.number)
        if self.result not in RESULTS:
            raise ValueError(f"no test shows {self.result}")
        if len(self.words) > MOST_WORDS_LETTERS:
            raise CommandError(f"A test’s words can have {MOST_WORDS_LETTERS} letters.", "Shorten them.")
        _check_text(self.words)

    @property
    def subject(self) -> Subject:
        """The thread's name and number."""
        return self.name, self.number


def _check_thread(name: str, number: str) -> None:
    if max(len(name), len(number)) > MOST_LABEL_LETTERS:
        raise CommandError(f"A thread's name can have {MOST_LABEL_LETTERS} letters.", "Shorten it.")
    _check_text(name + number)


def _check_text(text: str) -> None:
    try:
        text.encode()
    except UnicodeEncodeError as error:
        raise CommandError("A note about a thread holds half a letter.", "Type it anew.") from error

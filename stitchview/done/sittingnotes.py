"""What she tells of her sittings: where one begins, minutes, a few words, photographs, and pins in time."""

from dataclasses import dataclass

from stitchview.errors import CommandError

MOST_WORDS = 2_000
MOST_MINUTES = 24 * 60.0
MOST_FILE_NAME = 255
MOST_MOMENT_LETTERS = 200
LATEST_MS = 1 << 53
STROKE_LETTERS = 32
HASH_LETTERS = 64
HEXADECIMAL = frozenset("0123456789abcdef")

Subject = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class SittingSeam:
    """Her word that a sitting begins with a stroke, or that it does not; `stroke` is an id, 32 letters.

    It goes before what pauses tell, whatever strokes come in before it from another place later.
    """

    stroke: str
    begins: bool

    def __post_init__(self) -> None:
        _check_hexadecimal(self.stroke, STROKE_LETTERS)

    @property
    def subject(self) -> Subject:
        """The stroke."""
        return (self.stroke,)


@dataclass(frozen=True, slots=True)
class SittingWord:
    """Her word on the sitting that holds `stroke`: minutes at work (None as measured), a note, or that
    it was none at all (`struck`), as when she marked what had long been done.

    Raises `CommandError` for what cannot be kept.
    """

    stroke: str
    minutes: float | None = None
    struck: bool = False
    note: str = ""

    def __post_init__(self) -> None:
        _check_hexadecimal(self.stroke, STROKE_LETTERS)
        if self.minutes is not None and not 0 <= self.minutes <= MOST_MINUTES:
            raise CommandError(
                f"One cannot sit for {self.minutes:g} minutes.", f"Give 0 to {MOST_MINUTES:,.0f}."
            )
        _check_text(self.note, MOST_WORDS, "The note of a sitting")

    @property
    def subject(self) -> Subject:
        """The stroke."""
        return (self.stroke,)

    @property
    def empty(self) -> bool:
        """Whether it tells nothing that was not measured."""
        return self.minutes is None and not self.struck and not self.note


@dataclass(frozen=True, slots=True)
class ClothPhoto:
    """A photograph of the cloth, taken in the sitting that holds `stroke`.

    `file` is its name in the folder of photographs beside the chart; `sha256` (64 letters) and `size`
    in bytes tell whether what lies there is still the same.
    """

    id: str
    stroke: str
    file: str
    sha256: str
    size: int

    def __post_init__(self) -> None:
        _check_hexadecimal(self.stroke, STROKE_LETTERS)
        _check_hexadecimal(self.sha256, HASH_LETTERS)
        _check_text(self.file, MOST_FILE_NAME, "The name of a photograph")
        if not self.file or self.file in (".", "..") or set(self.file) & set("/\\:\0"):
            raise ValueError("the name of a photograph is no plain name")
        if not 0 < self.size <= LATEST_MS:
            raise ValueError("a photograph has an impossible size")

    @property
    def subject(self) -> Subject:
        """Its id; ids rise in the order in which photographs are added."""
        return (self.id,)


@dataclass(frozen=True, slots=True)
class TimePin:
    """A pin in time: a moment with a name, to ask later what is new since; `time` in ms since 1970, UTC."""

    id: str
    name: str
    time: int

    def __post_init__(self) -> None:
        _check_text(self.name, MOST_MOMENT_LETTERS, "The name of a pin in time")
        if not 0 < self.time <= LATEST_MS:
            raise ValueError("a pin in time lies outside all times")

    @property
    def subject(self) -> Subject:
        """Its id; ids rise in the order in which pins are put in."""
        return (self.id,)


def _check_hexadecimal(told: str, letters: int) -> None:
    if len(told) != letters or not set(told) <= HEXADECIMAL:
        raise ValueError(f"“{told[:letters]}” is not {letters} hexadecimal digits")


def _check_text(told: str, most: int, what: str) -> None:
    if len(told) > most:
        raise CommandError(f"{what} can have {most:,} letters.", "Shorten it.")
    try:
        told.encode()
    except UnicodeEncodeError as error:
        raise CommandError(f"{what} holds half a letter.", "Type it anew.") from error

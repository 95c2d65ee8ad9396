"""What she notes of skeins: bought, begun, used up, left, their size, and what is of which lot."""

from dataclasses import dataclass

from stitchview.errors import CommandError

GOT, STARTED, FINISHED, LEFT = EVENTS = ("got", "started", "finished", "left")
"""What can become of skeins; `left` counts all she has, begun ones by their share."""

MOST_SKEINS = 10_000.0
MOST_LOT_LETTERS = 60
MOST_LABEL_LETTERS = 200
MOST_SKEIN_M, MOST_SKEIN_STRANDS, MOST_GRAMS = 10_000.0, 100, 100_000.0
MOST_STRAND_MM = 1e12
LATEST_MS = 1 << 53
MOST_SIDE = 1 << 13

Subject = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class SkeinNote:
    """One thing that became of skeins of the thread `name`, `number`, as the chart names it.

    `skeins` tells how many, `reckoned_mm` how much single strand geometry gives for what was done of
    the thread until then, and `time` when it was, in ms since 1970, UTC. Raises `CommandError` for
    what one cannot have.
    """

    id: str
    name: str
    number: str
    event: str
    skeins: float = 1.0
    lot: str = ""
    reckoned_mm: float = 0.0
    time: int = 0

    def __post_init__(self) -> None:
        _check_thread(self.name, self.number, self.lot)
        if self.event not in EVENTS:
            raise ValueError(f"nothing becomes of skeins by the name of {self.event}")
        if not 0 <= self.skeins <= MOST_SKEINS:
            raise CommandError(
                f"One cannot have {self.skeins:g} skeins.", f"Give a number from 0 to {MOST_SKEINS:,.0f}."
            )
        if not 0 <= self.reckoned_mm <= MOST_STRAND_MM or not 0 <= self.time <= LATEST_MS:
            raise ValueError("a note about skeins tells a length or a time that cannot be")

    @property
    def subject(self) -> Subject:
        """Its id; ids rise in the order in which notes are made."""
        return (self.id,)


@dataclass(frozen=True, slots=True)
class SkeinSize:
    """How a thread is sold: metres and strands of one skein, and grams of a full one (0: not weighed)."""

    name: str
    number: str
    length_m: float = 8.0
    strands: int = 6
    grams: float = 0.0

    def __post_init__(self) -> None:
        _check_thread(self.name, self.number)
        if not 0 < self.length_m <= MOST_SKEIN_M or not 1 <= self.strands <= MOST_SKEIN_STRANDS:
            raise CommandError(
                f"A skein of {self.length_m:g} m in {self.strands} strands cannot be.",
                "Give what its band says.",
            )
        if not 0 <= self.grams <= MOST_GRAMS:
            raise CommandError(f"A skein of {self.grams:g} g cannot be.", "Give its full weight, or 0.")

    @property
    def subject(self) -> Subject:
        """The thread's name and number."""
        return self.name, self.number


@dataclass(frozen=True, slots=True)
class LotArea:
    """Her word that in an area all that is done of a thread is of one lot."""

    id: str
    name: str
    number: str
    lot: str
    column: int
    row: int
    columns: int
    rows: int

    def __post_init__(self) -> None:
        _check_thread(self.name, self.number, self.lot)
        if not (1 <= self.columns <= MOST_SIDE and 1 <= self.rows <= MOST_SIDE):
            raise ValueError("an area of a lot has no squares, or too many")

    @property
    def subject(self) -> Subject:
        """Its id; where areas overlap, the later one counts."""
        return (self.id,)


@dataclass(frozen=True, slots=True)
class LotTime:
    """Her word that all that was stitched of a thread from a time until before another is of one lot.

    Both are in ms since 1970, UTC.
    """

    id: str
    name: str
    number: str
    lot: str
    since: int
    until: int

    def __post_init__(self) -> None:
        _check_thread(self.name, self.number, self.lot)
        if not 0 <= self.since <= self.until <= LATEST_MS:
            raise ValueError("a time of a lot ends before it begins")

    @property
    def subject(self) -> Subject:
        """Its id; where times overlap, the later note counts."""
        return (self.id,)


def _check_thread(name: str, number: str, lot: str = "") -> None:
    if max(len(name), len(number)) > MOST_LABEL_LETTERS:
        raise CommandError(f"A thread's name can have {MOST_LABEL_LETTERS} letters.", "Shorten it.")
    if len(lot) > MOST_LOT_LETTERS:
        raise CommandError(f"A lot can have {MOST_LOT_LETTERS} letters.", "Shorten it.")
    try:
        f"{name}{number}{lot}".encode()
    except UnicodeEncodeError as error:
        raise CommandError("The name of a lot or thread holds half a letter.", "Type it anew.") from error

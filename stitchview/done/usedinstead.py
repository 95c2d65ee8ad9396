"""Her word that another thread is used in the whole piece for one that the key prints."""

from dataclasses import dataclass

from stitchview.chart.colour import Colour
from stitchview.chart.model import THREAD_KINDS, UNTOLD
from stitchview.done.skeinnotes import LATEST_MS, MOST_LABEL_LETTERS, MOST_LOT_LETTERS, MOST_SKEINS
from stitchview.errors import CommandError

Subject = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class UsedInstead:
    """For the thread that the key names `name` and `number`, another one is used, in blends too.

    `used_name`, `used_number`, `kind`, `colour` and `lot` are its own; `range` is that of her list of
    threads, "" if it was not taken from there. `skeins` are those set aside for the piece, 0 if she did not
    say. `time` is when she noted it, in ms since 1970, UTC. Raises `CommandError` for what one cannot have.
    """

    name: str
    number: str
    used_name: str
    used_number: str = ""
    kind: str = THREAD_KINDS[0]
    colour: Colour = UNTOLD
    lot: str = ""
    range: str = ""
    skeins: float = 0.0
    time: int = 0

    def __post_init__(self) -> None:
        labels = self.name, self.number, self.used_name, self.used_number, self.range
        if not (self.used_name or self.used_number):
            raise CommandError("The thread used has neither name nor number.", "Give it one of them.")
        if max(map(len, labels)) > MOST_LABEL_LETTERS:
            raise CommandError(f"A thread's name can have {MOST_LABEL_LETTERS} letters.", "Shorten it.")
        if len(self.lot) > MOST_LOT_LETTERS:
            raise CommandError(f"A lot can have {MOST_LOT_LETTERS} letters.", "Shorten it.")
        if self.kind not in THREAD_KINDS or not 0 <= self.time <= LATEST_MS:
            raise ValueError("a thread used instead is of no known kind, or was noted at no known time")
        if not 0 <= self.skeins <= MOST_SKEINS:
            raise CommandError(
                f"One cannot have {self.skeins:g} skeins.", f"Give a number from 0 to {MOST_SKEINS:,.0f}."
            )
        try:
            "".join((*labels, self.lot)).encode()
        except UnicodeEncodeError as error:
            raise CommandError("The name of a lot or thread holds half a letter.", "Type it anew.") from error

    @property
    def subject(self) -> Subject:
        """The printed thread's name and number."""
        return self.name, self.number

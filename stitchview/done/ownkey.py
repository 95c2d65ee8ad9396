"""The printed key, and after it the threads of her own that differences on the cloth name."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.codes import allot_codes
from stitchview.chart.model import KeyEntry, OwnEntry, Symbol
from stitchview.done.usedinstead import OwnThread
from stitchview.errors import CommandError

Key = tuple[KeyEntry, ...]


class OwnKey:
    """Gives key numbers (from 1) to codes; a thread of her own gets the next one when it is first used.

    So printed lines keep their numbers, and a thread that comes later takes none of those before it.
    """

    def __init__(self, printed: Key, own: Iterable[OwnThread] = ()) -> None:
        self._printed = printed
        self._own = {each.id: each for each in own}
        self._numbers = {entry.code: number for number, entry in enumerate(printed, 1)}
        self._areas = dict[str, int]()
        self._instead_of = dict[str, set[int]]()

    def number(self, code: str) -> int | None:
        """The number of a code, used or not; None of no code. Raises `CommandError` for an unknown one."""
        if not code:
            return None
        if code in self._numbers:
            return self._numbers[code]
        if code in self._own:
            return len(self._numbers) + 1
        raise CommandError(
            f"The key has no thread with the code “{code}”.", "Take the difference back, or correct the key."
        )

    def use(self, code: str, gone: Iterable[NDArray[np.uint16]] = ()) -> None:
        """Have a thread used in one more area, there instead of those with the numbers `gone`.

        Nothing happens where the key prints it.
        """
        if code not in self._own:
            return
        self._numbers.setdefault(code, len(self._numbers) + 1)
        self._areas[code] = self._areas.get(code, 0) + 1
        numbers = self._instead_of.setdefault(code, set())
        for each in gone:
            numbers.update(np.unique(each).tolist())

    def entries(self) -> Key:
        """The printed key and what follows it; the very printed one where nothing does."""
        if not self._areas:
            return self._printed
        taken = {entry.code for entry in self._printed} | {entry.symbol.text for entry in self._printed}
        # A capital beside its small letter would be taken for it at arm's length.
        taken |= {each.swapcase() for each in taken}
        signs = allot_codes(len(self._areas), taken)
        own = (self._entry(self._own[code], sign) for code, sign in zip(self._areas, signs, strict=True))
        return (*self._printed, *own)

    def _entry(self, own: OwnThread, sign: str) -> OwnEntry:
        printed = [self._printed[number - 1] for number in sorted(self._instead_of[own.id])]
        names = (each.name or each.number or each.symbol.text or each.code for each in printed)
        # She works it as what it stands for, with as many strands.
        strands = (printed[0].cross_strands, printed[0].back_strands) if printed else (2, 1)
        return OwnEntry(
            *(own.id, Symbol(sign), own.used_name, own.used_number, own.kind, own.colour, *strands),
            instead_of=tuple(dict.fromkeys(names)),
            areas=self._areas[own.id],
            lot=own.lot,
        )

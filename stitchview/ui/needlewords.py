"""What is said of a needleful: how many squares, how much thread, and how it is carried."""

from stitchview.follow.needleful import Needleful

FAR_SHORT = 0.1
"""Above this share of the thread unused, it is said why."""


def needleful_words(path: Needleful, name: str, others: int = 0) -> str:
    """A proposed needleful in a sentence or two; `others` of the thread are lines, knots and beads left."""
    count, needle = len(path), path.wish.needle
    used, whole = (_centimetres(mm) for mm in (needle.usable_mm - path.left_mm, needle.length_mm))
    told = f"Next needleful: {count:,} {_stitches(count)} of {name}, {used} of a length of {whole}"
    if path.carries:
        longest = max(carry.mm for carry in path.carries)
        told += f"; carried {len(path.carries):,} time{_s(len(path.carries))}, at most {longest:.0f} mm"
    if path.left_after and path.left_mm > FAR_SHORT * needle.usable_mm:
        told += "; the rest lies further than the thread is carried"
    done = "then its crosses are done" if others else "then all of it is done"
    rest = f"{path.left_after:,} left after it" if path.left_after else done
    # Their way is not looked for: each is where its outline asks for it, not where thread is saved.
    apart = f". Not in it: {others_words(others)}" if others else ""
    return f"{told}; {rest}{apart}."


def _centimetres(mm: float) -> str:
    # Thread is measured along an arm or a table edge: tenths would promise what nobody can hold.
    return f"{mm / 10:,.0f} cm"


def _stitches(count: int) -> str:
    return "stitch" if count == 1 else "stitches"


def _s(count: int) -> str:
    return "" if count == 1 else "s"


def others_words(count: int) -> str:
    """So many lines, knots and beads that are left, in words."""
    return "1 line, knot or bead" if count == 1 else f"{count:,} lines, knots and beads"

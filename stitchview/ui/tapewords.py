"""What the tape says in words: the way between its ends, and where its far end lies on the chart."""

from stitchview.follow.tape import Bearings, LengthUnit, Tape, length_words, tape_words


def measured_words(tape: Tape) -> str:
    """The way between the ends, on the cloth in centimetres and in inches."""
    told = tape_words(tape, LengthUnit.CENTIMETRES)
    if tape.columns == 0 and tape.rows == 0:
        return told
    return f"{told} That is {length_words(tape.mm, LengthUnit.INCHES)}."


def bearing_words(bearings: Bearings) -> str:
    """How far a square lies from each edge of the chart and from the centre lines."""
    edges = ", ".join(
        f"{count:,} {way} ({length_words(mm, LengthUnit.CENTIMETRES)})"
        for count, way, mm in (
            (bearings.left, "left", bearings.left_mm),
            (bearings.right, "right", bearings.right_mm),
            (bearings.top, "above", bearings.top_mm),
            (bearings.bottom, "below", bearings.bottom_mm),
        )
    )
    across = _from_centre(bearings.across, "left", "right")
    down = _from_centre(bearings.down, "above", "below")
    centre = length_words(bearings.centre_mm, LengthUnit.CENTIMETRES)
    return f"Squares to the edges: {edges}. From the centre: {across}, {down} ({centre})."


def _from_centre(away: float, before: str, after: str) -> str:
    if not away:
        return "0"
    return f"{abs(away):,g} {before if away < 0 else after}"

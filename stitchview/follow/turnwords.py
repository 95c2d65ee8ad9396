"""How the chart lies as it is seen, in words: where its top is, and which way upper legs lean."""

from stitchview.chart.turning import Turn

_WHERE = {(0, -1): "at the top", (1, 0): "on the right", (0, 1): "at the bottom", (-1, 0): "on the left"}


def top_seen(turn: Turn) -> tuple[int, int]:
    """Which way the chart's top is seen, as a step rightwards and downwards."""
    return turn.step(0, -1)


def upper_legs_rise(turn: Turn) -> bool:
    """Whether upper legs are seen to rise to the right.

    On the cloth all lean one way whatever the turn: the rising leg is worked first (checks.md, H4).
    """
    return turn.swaps_slants


def turn_words(turn: Turn) -> str:
    """Where the chart's top is and how upper legs lean, as one or two sentences."""
    behind = ", and you see it from behind" if turn.mirrored else ""
    lean = "rise to the right, like /" if upper_legs_rise(turn) else "fall to the right, like \\"
    return f"The top of the chart is {_WHERE[top_seen(turn)]}{behind}. Seen so, upper legs {lean}."

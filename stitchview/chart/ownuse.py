"""What is said wherever a chart that can be read leaves the program, as a picture or on paper."""

OWN_USE = "A chart is its maker’s work: printed sheets are for your own use."
"""Beside printing."""

READABLE = (
    "It shows the readable chart. A chart you bought is its maker’s work: keep it for your own use,"
    " and show the piece instead."
)
"""After a picture of the chart with its symbols."""

TOUR_READABLE = (
    "They show the window with the readable chart. A chart you bought is its maker’s work:"
    " keep them for your own use."
)
"""After a tour of the window."""

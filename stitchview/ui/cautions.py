"""The usual cautions, in one place for the help, the settings and the README."""

HEADING = "Cautions"

CAUTIONS = (
    "These are the usual cautions; what the makers of your things and your doctor say goes first.",
    "Magnets that hold needles or charts do not belong near a pacemaker or any other implant.",
    "Count your needles when you put the work away; a lost one finds a foot, a child or an animal.",
    "Rest your eyes and hands now and then, and stop when something hurts or tingles.",
    "stitchview keeps every mark, but it is not a backup: copy charts and marks to another place too.",
)
"""One sentence each, the first says how far the others go."""

SHORT = (
    "Keep magnets away from pacemakers and other implants, count your needles, and rest eyes and hands."
    " What makers and doctors say goes first."
)
"""All of it in two sentences, where there is little room."""


def cautions_text() -> str:
    """The cautions as plain text, one a line, as README holds them."""
    return "\n".join(f"- {caution}" for caution in CAUTIONS)

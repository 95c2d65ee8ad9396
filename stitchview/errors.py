"""Errors that tell a person in one sentence what is wrong and what to do about it."""


class StitchviewError(Exception):
    """Something went wrong that a person can understand and mend.

    `what` says what is wrong and where, `remedy` what to do; both are plain sentences without
    a traceback's words. `str()` gives both, joined, ready to be shown.
    """

    def __init__(self, what: str, remedy: str = "") -> None:
        self.what = what
        self.remedy = remedy
        super().__init__(f"{what} {remedy}".strip())


class ChartError(StitchviewError):
    """A chart file cannot be read or written as it stands."""


class LayerError(StitchviewError):
    """A done layer cannot be read or written as it stands."""


class CommandError(StitchviewError):
    """A command was asked for something that cannot be done."""

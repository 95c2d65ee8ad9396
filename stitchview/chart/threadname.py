"""What tells a thread from others: its name and number, without regard to capitals and spaces."""

ThreadName = tuple[str, str]
"""Name and number of a thread, without regard to capitals and spaces: what tells it from others."""


def identity_of(name: str, number: str) -> ThreadName:
    """The name and number without regard to capitals and spaces."""
    return " ".join(name.split()).casefold(), " ".join(number.split()).casefold()

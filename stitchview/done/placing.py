"""Bring a whole new layer file into being, under a temporary name first, never over another file."""

import contextlib
import os
import secrets
from collections.abc import Iterable, Iterator
from pathlib import Path

from stitchview.done.schema import connect, insert_rows, lay_out, transaction
from stitchview.done.strokes import StrokeRow
from stitchview.safefile import sync_folder, temporary_beside


def create_layer(path: Path, facts: dict[str, str], rows: Iterable[StrokeRow] = ()) -> None:
    """Make a layer at `path` with these facts and strokes; `FileExistsError` if something is there.

    Raises `OSError` or `sqlite3.Error`; then nothing new is left behind.
    """
    with whole_new_layer(path, facts, rows) as fresh:
        _clear_of_journal(path)
        _name_without_overwriting(fresh, path)
    sync_folder(path.parent)


@contextlib.contextmanager
def whole_new_layer(path: Path, facts: dict[str, str], rows: Iterable[StrokeRow]) -> Iterator[Path]:
    """Give a finished layer under a temporary name beside `path`; at the end that name is gone."""
    fresh = temporary_beside(path)
    try:
        fresh.touch(exist_ok=False)
        with contextlib.closing(connect(fresh)) as connection:
            lay_out(connection, facts)
            with transaction(connection):
                insert_rows(connection, rows)
        yield fresh
    finally:
        for left in (fresh, journal_of(fresh)):
            with contextlib.suppress(OSError):
                left.unlink(missing_ok=True)


def journal_of(path: Path) -> Path:
    """Where SQLite keeps the rollback journal of the file at `path` during a transaction."""
    return path.with_name(path.name + "-journal")


def can_write(path: Path) -> bool:
    """Whether the layer at `path`, and the folder round it, let themselves be written."""
    probe = temporary_beside(path)
    try:
        probe.touch(exist_ok=False)
        probe.unlink()
        if path.exists():
            os.close(os.open(path, os.O_RDWR))
    except OSError:
        return False
    return True


def _clear_of_journal(path: Path) -> None:
    # The journal of a layer that is gone would be played into the new file of the same name.
    journal = journal_of(path)
    if journal.exists() and not path.exists():
        journal.replace(path.with_name(f"{path.stem}.left-{secrets.token_hex(4)}{journal.suffix}"))


def _name_without_overwriting(fresh: Path, path: Path) -> None:
    try:
        os.link(fresh, path)
    except FileExistsError:
        raise
    except OSError:
        # No hard links on this file system (sticks, some network folders).
        if path.exists():
            raise FileExistsError(path) from None
        fresh.rename(path)

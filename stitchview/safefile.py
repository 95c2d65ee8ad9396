"""Replace a whole file at once, so that a crash or a full disk leaves the old one untouched."""

import contextlib
import os
import secrets
import stat
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from stitchview.errors import StitchviewError

TEMPORARY_MARK = ".stitchview-new-"
STALE_AFTER_SECONDS = 24 * 60 * 60


@contextlib.contextmanager
def replacing(path: Path) -> Iterator[IO[bytes]]:
    """Give a file to write to that takes the place of `path` only when the block ends well.

    The new bytes go to a temporary file in the same folder, are flushed and synced, and replace
    the old file in one step; then the folder is synced where the platform can. A link is followed
    and the file mode kept. Any failure leaves `path` as it was and removes the temporary file;
    an `OSError` becomes one `StitchviewError` in plain words.
    """
    target = Path(os.path.realpath(path))
    temporary = target.with_name(f".{target.name}{TEMPORARY_MARK}{secrets.token_hex(6)}")
    try:
        try:
            with temporary.open("xb") as file:
                yield file
                file.flush()
                os.fsync(file.fileno())
            _keep_mode(target, temporary)
            os.replace(temporary, target)
        except BaseException:
            temporary.unlink(missing_ok=True)
            raise
        _sync_folder(target.parent)
    except OSError as error:
        raise unwritable(path, error) from error


def write_bytes(path: Path, content: bytes) -> None:
    """Write `content` to `path` in one step; see `replacing` for what can go wrong."""
    with replacing(path) as file:
        file.write(content)


def sweep_stale(folder: Path) -> None:
    """Remove temporary files that a crash left in `folder` a day or more ago."""
    oldest = time.time() - STALE_AFTER_SECONDS
    with contextlib.suppress(OSError):
        for left in folder.glob(f".*{TEMPORARY_MARK}*"):
            with contextlib.suppress(OSError):
                if left.stat().st_mtime < oldest:
                    left.unlink()


def unwritable(path: Path, error: OSError) -> StitchviewError:
    """Say in one sentence why `path` could not be written and what to do."""
    name = path.name or str(path)
    if isinstance(error, FileNotFoundError):
        return StitchviewError(f"The folder of “{name}” does not exist.", "Choose another folder.")
    if isinstance(error, IsADirectoryError):
        return StitchviewError(f"“{name}” is a folder.", "Choose another name for the file.")
    reason = (error.strerror or str(error)).rstrip(".").lower()
    return StitchviewError(
        f"“{name}” could not be written ({reason}); what was there before is unchanged.",
        "Free some space or choose a folder you can write to.",
    )


def _keep_mode(target: Path, temporary: Path) -> None:
    with contextlib.suppress(FileNotFoundError):
        temporary.chmod(stat.S_IMODE(target.stat().st_mode))


def _sync_folder(folder: Path) -> None:
    # Windows cannot open a folder; there the replace itself is all that can be asked for.
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

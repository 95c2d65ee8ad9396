"""Replace a whole file at once, so that a crash or a full disk leaves the old one untouched."""

import contextlib
import os
import secrets
import stat
import time
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import IO

from stitchview.errors import StitchviewError

TEMPORARY_MARK = ".stitchview-new-"
STALE_AFTER_SECONDS = 24 * 60 * 60

# A name may have 255 bytes, a character up to four of them; the dot and the mark need room too.
_LONGEST_STEM = 50
_SWAP_ATTEMPTS = 5
_SWAP_PAUSE_SECONDS = 0.05


@contextlib.contextmanager
def replacing(path: Path) -> Iterator[IO[bytes]]:
    """Give a file to write to that takes the place of `path` only when the block ends well.

    The new bytes go to a temporary file in the same folder, are flushed and synced, and replace
    the old file in one step; then the folder is synced where the platform can. A link is followed
    and the file mode kept. Any failure leaves `path` as it was and removes the temporary file;
    an `OSError` becomes one `StitchviewError` in plain words. What is no plain file (a folder, a
    device) or is marked read-only is refused.
    """
    try:
        target = _resolved(path)
        temporary = temporary_beside(target)
        try:
            with _opened(temporary, target) as file:
                yield file
                file.flush()
                os.fsync(file.fileno())
            _swap(temporary, target)
        except BaseException:
            _discard(temporary)
            raise
        sync_folder(target.parent)
    except OSError as error:
        raise unwritable(path, error) from error


def replacing_all(contents: Mapping[Path, bytes]) -> None:
    """Write several files, of which none takes its place before all are safely on the disk.

    Folders that are missing are made, and removed again when writing fails. Links are not
    followed. The files take their places in the order given; only a crash or a refusal within those
    few renames can leave some new beside some old. Raises `StitchviewError` as `replacing` does, and
    names those that are new when not all are.
    """
    staged: list[tuple[Path, Path]] = []
    swapped: list[Path] = []
    made: list[Path] = []
    path = Path()
    try:
        try:
            for path, content in contents.items():
                _make_folders(path.parent, made)
                temporary = temporary_beside(path)
                staged.append((temporary, path))
                with _opened(temporary, path) as file:
                    file.write(content)
                    file.flush()
                    os.fsync(file.fileno())
            for temporary, path in staged:
                _swap(temporary, path)
                swapped.append(path)
        except BaseException:
            for temporary, _ in staged:
                _discard(temporary)
            for folder in reversed(made):
                with contextlib.suppress(OSError):
                    folder.rmdir()
            raise
        for folder in {path.parent for path in contents} | {folder.parent for folder in made}:
            sync_folder(folder)
    except OSError as error:
        raise (half_written(path, swapped, error) if swapped else unwritable(path, error)) from error


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
                if left.lstat().st_mtime < oldest:
                    left.unlink()


def temporary_beside(path: Path) -> Path:
    """A new hidden name in the folder of `path`, which `sweep_stale` knows and no name is too long for."""
    if not path.name:
        raise IsADirectoryError
    return path.with_name(f".{path.name[:_LONGEST_STEM]}{TEMPORARY_MARK}{secrets.token_hex(6)}")


def sync_folder(folder: Path) -> None:
    """Have the disk keep the names in `folder`, where the platform can be asked for that."""
    # Windows cannot open a folder; there the replace itself is all that can be asked for.
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def unwritable(path: Path, error: OSError) -> StitchviewError:
    """Say in one sentence why `path` could not be written and what to do."""
    name = path.name or str(path)
    if isinstance(error, FileNotFoundError | NotADirectoryError):
        return StitchviewError(f"The folder of “{name}” does not exist.", "Choose another folder.")
    if isinstance(error, IsADirectoryError):
        return StitchviewError(f"“{name}” is a folder.", "Choose another name for the file.")
    reason = (error.strerror or str(error)).rstrip(".").lower()
    return StitchviewError(
        f"“{name}” could not be written ({reason}); what was there before is unchanged.",
        "Free some space or choose a folder you can write to.",
    )


def half_written(path: Path, new: Sequence[Path], error: OSError) -> StitchviewError:
    """Say that `path` could not take its place after others already had, so that they do not agree."""
    reason = (error.strerror or str(error)).rstrip(".").lower()
    names = ", ".join(f"“{each.name}”" for each in new)
    return StitchviewError(
        f"“{path.name}” could not be written ({reason}) and is as it was; {names} beside it "
        f"{'is' if len(new) == 1 else 'are'} new already.",
        "Close what holds the file and write all of them again.",
    )


def _resolved(path: Path) -> Path:
    try:
        return Path(os.path.realpath(path))
    except ValueError as error:
        raise OSError(None, str(error)) from error


def _opened(temporary: Path, target: Path) -> IO[bytes]:
    """A new file to write to, with the mode of the one it is to replace from the first byte on."""
    try:
        state = target.lstat()
    except FileNotFoundError:
        return temporary.open("xb")
    if stat.S_ISDIR(state.st_mode):
        raise IsADirectoryError
    if not stat.S_ISREG(state.st_mode):
        raise OSError(None, "it is a link, a device or a pipe")
    if not os.access(target, os.W_OK):
        raise PermissionError(None, "it is marked read-only")
    file = temporary.open("xb")
    try:
        temporary.chmod(stat.S_IMODE(state.st_mode))
    except BaseException:
        file.close()
        raise
    return file


def _swap(temporary: Path, target: Path) -> None:
    # On Windows a virus scanner or another reader may hold the target for a moment.
    for _ in range(_SWAP_ATTEMPTS - 1):
        try:
            os.replace(temporary, target)
        except PermissionError:
            time.sleep(_SWAP_PAUSE_SECONDS)
        else:
            return
    os.replace(temporary, target)


def _discard(temporary: Path) -> None:
    with contextlib.suppress(OSError):
        temporary.unlink(missing_ok=True)


def _make_folders(folder: Path, made: list[Path]) -> None:
    """Make `folder` and the missing ones above it, and note them in `made`, outermost first."""
    missing = []
    while not folder.exists():
        missing.append(folder)
        folder = folder.parent
    for new in reversed(missing):
        new.mkdir()
        made.append(new)

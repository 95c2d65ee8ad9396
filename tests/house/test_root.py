"""The top of the project holds the few things a newcomer should see, and nothing more."""

from fnmatch import fnmatch
from pathlib import Path

ALLOWED = {
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "pyproject.toml",
    "resources",
    "samples",
    "stitchview",
    "tests",
}


def test_the_top_holds_only_what_belongs_there(repository: Path) -> None:
    """Beside the named entries only files whose name begins with a dot, and what git leaves out."""
    lines = (repository / ".gitignore").read_text("utf-8").splitlines()
    left_out = [line.strip("/") for line in lines if line.strip() and not line.startswith("#")]
    more = [
        entry.name
        for entry in repository.iterdir()
        if entry.name not in ALLOWED
        and not entry.name.startswith(".")
        and not any(fnmatch(entry.name, pattern) for pattern in left_out)
    ]
    assert not more


def test_what_a_newcomer_looks_for_is_there(repository: Path) -> None:
    """The program, its tests, its samples and its licence are where the readme says."""
    missing = [name for name in sorted(ALLOWED) if not (repository / name).exists()]
    assert not missing


def test_the_check_run_by_machines_can_be_run(repository: Path) -> None:
    """`.ci/run` may be run as it stands."""
    run = repository / ".ci" / "run"
    assert run.is_file()
    assert run.stat().st_mode & 0o111

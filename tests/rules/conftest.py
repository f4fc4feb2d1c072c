"""Where the house stands and what is in it, for the rules."""

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def root() -> Path:
    """Give the top folder of the clone."""
    return ROOT


@pytest.fixture(scope="session")
def source(root: Path) -> Path:
    """Give the folder of the package."""
    return root / "src" / "floatbowl"


@pytest.fixture(scope="session")
def tracked(root: Path) -> list[Path]:
    """Give every file that git keeps or is about to keep: nothing ignored, nothing deleted."""
    asked = ["git", "-c", "safe.directory=*", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(asked, cwd=root, check=True, capture_output=True, text=True)
    paths = {root / name for name in listed.stdout.split("\0") if name}
    return sorted(path for path in paths if path.is_file())


@pytest.fixture(scope="session")
def pages(root: Path, tracked: list[Path]) -> dict[str, str]:
    """Give the text of every page of the documents, by its path from the top."""
    return {
        path.relative_to(root).as_posix(): path.read_text(encoding="utf-8")
        for path in tracked
        if path.suffix == ".md"
    }

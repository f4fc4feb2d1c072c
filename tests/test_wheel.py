"""A wheel is built from the lock alone and works in a fresh environment, away from the clone."""

import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

import floatbowl

ROOT = Path(__file__).resolve().parents[1]
SCRIPTS = "Scripts" if os.name == "nt" else "bin"

BIKE = """
form = "floatbowl.bike/1"
name = "Magpie"

[engine]
strokes = 4
swept_cc = 124.1

[carb]
bore_mm = 26.0

[setup]
number = 1
main = "110"
pilot = "40"
clip_from_top = 3
cutaway = "2.5"
screw_turns = 1.5
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the wheel, built without the network."""
    place = tmp_path_factory.mktemp("wheel")
    build: list[str | Path] = [
        sys.executable,
        "-m",
        "build",
        "--wheel",
        "--no-isolation",
        "--outdir",
        place,
        ROOT,
    ]
    subprocess.run(build, check=True, capture_output=True)
    (made,) = place.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def fresh(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the programs' folder of a fresh environment that holds the wheel.

    What floatbowl needs is lent from the environment of the tests by a path file,
    which leaves that environment's own path files, and so the clone, out of sight.
    """
    place = tmp_path_factory.mktemp("fresh")
    venv.create(place, with_pip=True, symlinks=os.name != "nt")
    scripts = place / SCRIPTS
    pip: list[str | Path] = [scripts / "python", "-m", "pip", "--disable-pip-version-check"]
    subprocess.run([*pip, "install", "--quiet", "--no-index", "--no-deps", wheel], check=True)
    ask: list[str | Path] = [
        scripts / "python",
        "-c",
        "import sysconfig; print(sysconfig.get_path('purelib'))",
    ]
    libraries = subprocess.run(ask, check=True, capture_output=True, text=True).stdout.strip()
    Path(libraries, "lent.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return scripts


def run(words: list[str | Path], folder: Path) -> str:
    """Run a program away from the clone and give what it printed; it must succeed."""
    ran = subprocess.run(words, cwd=folder, check=False, capture_output=True, text=True)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return ran.stdout


@pytest.mark.slow
def test_the_wheel_holds_everything_and_nothing_else(wheel: Path) -> None:
    """The wheel has each source file, the licence, the mark of typing and its data, and no tests."""
    held = set(zipfile.ZipFile(wheel).namelist())
    source = ROOT / "src"
    kept = {
        path.relative_to(source).as_posix()
        for path in source.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    about = f"floatbowl-{floatbowl.__version__}.dist-info/"
    assert kept == {name for name in held if not name.startswith(about)}
    assert f"{about}licenses/LICENSE" in held


@pytest.mark.slow
@pytest.mark.door
def test_the_wheel_is_what_runs(fresh: Path, tmp_path: Path) -> None:
    """In the fresh environment floatbowl comes from the wheel, not from the clone."""
    where = run([fresh / "python", "-c", "import floatbowl; print(floatbowl.__file__)"], tmp_path)
    assert Path(where.strip()).is_relative_to(fresh.parent)


@pytest.mark.slow
@pytest.mark.door
def test_the_wheel_brings_the_command(fresh: Path, tmp_path: Path) -> None:
    """``floatbowl`` stands in the environment, helps, knows its version and checks a bike file."""
    (tmp_path / "magpie.toml").write_text(BIKE, encoding="utf-8")
    assert "Usage: floatbowl" in run([fresh / "floatbowl", "--help"], tmp_path)
    assert floatbowl.__version__ in run([fresh / "floatbowl", "--version"], tmp_path)
    assert "magpie" in run([fresh / "floatbowl", "check", "magpie.toml"], tmp_path).lower()

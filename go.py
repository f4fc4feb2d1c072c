#!/usr/bin/env python3
"""Set floatbowl up once, then run what was asked for: ``python3 go.py demo``, ``python3 go.py test``.

Needs Python 3.11 and nothing else. The first run makes the folder ``.venv``
beside this file and fills it from ``requirements.lock``, every download checked
against the lock. Later runs go straight to work. ``test`` runs the checks and
the tests; every other word is handed to floatbowl as it stands.
"""

import contextlib
import hashlib
import importlib
import importlib.util
import os
import shutil
import subprocess
import sys
import venv
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent
LOCK = ROOT / "requirements.lock"
ENV = ROOT / ".venv"
STAMP = ENV / "set-up"
ON_WINDOWS = os.name == "nt"
PYTHON = ENV / ("Scripts/python.exe" if ON_WINDOWS else "bin/python")

FLOOR = (3, 11)
FAILURE_LINES = 15
"""How much of a failed install's own words to show: enough to hold its last complaint."""

CHECKS = (
    ("style", ("ruff", "check")),
    ("layout", ("ruff", "format", "--check")),
    ("types", ("mypy",)),
    ("one-way imports", ("importlinter.cli",)),
)


def main(words: list[str]) -> int:
    """Set up if need be, then do what the words ask. Gives the exit code."""
    if sys.version_info < FLOOR:
        sys.exit(f"floatbowl needs Python {FLOOR[0]}.{FLOOR[1]} or newer; this is {sys.version.split()[0]}.")
    if not is_set_up():
        with only_one_at_a_time():
            if not is_set_up():
                set_up()
    if words[:1] == ["test"]:
        return test(words[1:])
    return hand_over(words)


def tell(sentence: str) -> None:
    """Say how far we are. To stderr, so that the answer on stdout can be piped away clean."""
    print(sentence, file=sys.stderr, flush=True)


# --- set-up ---------------------------------------------------------------------------------------------


def wanted_stamp() -> str:
    """Name what the environment was made from: the lock, this folder, and the Python behind it.

    An environment does not survive a move of its folder, nor a new Python put
    in the old one's place, so both are part of its name.
    """
    lock = hashlib.sha256(LOCK.read_bytes()).hexdigest()
    return f"lock {lock}\nfolder {ROOT}\npython {PYTHON.resolve()}\n"


def is_set_up() -> bool:
    """Say whether the environment is complete. The stamp is written last, so half a set-up has none."""
    return PYTHON.exists() and STAMP.exists() and STAMP.read_text(encoding="utf-8") == wanted_stamp()


@contextlib.contextmanager
def only_one_at_a_time() -> Iterator[None]:
    """Hold the set-up to ourselves: a second first run waits, then finds the work done."""
    try:
        gate = (ROOT / ".set-up.lock").open("w")
    except OSError:
        sys.exit(f"floatbowl sets itself up in {ROOT}, but may not write there. Clone it into a folder of your own.")
    with gate:
        if ON_WINDOWS:
            import msvcrt

            msvcrt.locking(gate.fileno(), msvcrt.LK_LOCK, 1)
        else:
            import fcntl

            try:
                fcntl.flock(gate, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                tell("Another run is setting floatbowl up; waiting for it.")
                fcntl.flock(gate, fcntl.LOCK_EX)
        yield


def set_up() -> None:
    """Make the environment, fill it, point it at the source, stamp it, and compile the sums."""
    tell("Setting floatbowl up, once. It needs the network and takes a minute or two.")
    uv = shutil.which("uv")
    if uv is None and not can_make_pip():
        bring_venv()
    tell("1 of 3: a Python of its own, in .venv")
    venv.create(ENV, with_pip=False, clear=True)
    tell(f"2 of 3: {lock_names()} parts, each checked against requirements.lock")
    if not (uv is not None and fill_with_uv(uv)):
        fill_with_pip()
    point_at_source()
    STAMP.write_text(wanted_stamp(), encoding="utf-8")
    tell("3 of 3: the sums, compiled for this machine")
    compile_sums()
    tell("Ready. Nothing of this is needed again.")


def can_make_pip() -> bool:
    """Say whether this Python can put pip into an environment. Debian keeps that in a package apart."""
    return importlib.util.find_spec("ensurepip") is not None


def bring_venv() -> None:
    """Fetch the piece of Python that Debian leaves out, or say which one it is."""
    package = f"python{sys.version_info.major}.{sys.version_info.minor}-venv"
    apt = shutil.which("apt-get")
    may_install = apt is not None and hasattr(os, "geteuid") and os.geteuid() == 0
    if may_install:
        tell(f"This Python cannot make an environment yet; installing {package}.")
        quiet = {"stdout": subprocess.DEVNULL, "env": {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}}
        subprocess.run([apt, "update"], check=False, **quiet)
        subprocess.run([apt, "install", "--yes", "--no-install-recommends", package], check=False, **quiet)
        importlib.invalidate_caches()
    if not can_make_pip():
        who = "" if may_install else f" Ask whoever looks after this machine for: apt-get install {package}."
        sys.exit(f"This Python cannot make an environment: its ensurepip is missing ({package} on Debian).{who}")


def lock_names() -> int:
    """Count the parts in the lock."""
    return sum("==" in line for line in LOCK.read_text(encoding="utf-8").splitlines())


def fill_with_uv(uv: str) -> bool:
    """Install the lock with uv, which is quicker. Gives False where uv could not, so that pip has a try."""
    asked = [uv, "pip", "install", "--quiet", "--python", PYTHON, "--require-hashes", "--requirements", LOCK]
    return subprocess.run(asked, check=False, cwd=ROOT).returncode == 0


def fill_with_pip() -> None:
    """Install the lock with pip, which every Python brings along."""
    run_or_explain([PYTHON, "-m", "ensurepip", "--upgrade"])
    pip = [PYTHON, "-m", "pip", "--disable-pip-version-check", "--no-input", "install"]
    run_or_explain([*pip, "--only-binary=:all:", "--require-hashes", "--requirement", LOCK])


def run_or_explain(asked: list) -> None:
    """Run a step of the set-up, counting the parts as they come; stop with its last words if it fails."""
    lines = []
    with subprocess.Popen(asked, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) as step:
        for line in step.stdout:
            lines.append(line)
            if line.startswith("Collecting ") and sys.stderr.isatty():
                name = line.split()[1].split("==")[0]
                print(f"\r        {name:<40.40}", end="", file=sys.stderr, flush=True)
    if sys.stderr.isatty():
        print(f"\r{'':48}\r", end="", file=sys.stderr, flush=True)
    if step.returncode != 0:
        tell("".join(lines[-FAILURE_LINES:]))
        sys.exit("The set-up did not finish; what it said last stands above. Run the same command again to resume.")


def point_at_source() -> None:
    """Let the environment read floatbowl straight from ``src``: no build, so nothing outside the lock."""
    ask = "import sysconfig; print(sysconfig.get_path('purelib'))"
    answer = subprocess.run([PYTHON, "-c", ask], check=True, capture_output=True, text=True)
    Path(answer.stdout.strip(), "floatbowl-source.pth").write_text(f"{ROOT / 'src'}\n", encoding="utf-8")


def compile_sums() -> None:
    """Compile the kernels now, so that the first answer is not slow. If it fails they compile when first used."""
    if (ROOT / "src" / "floatbowl" / "flow" / "warm.py").exists():
        subprocess.run([PYTHON, "-m", "floatbowl.flow.warm"], check=False, cwd=ROOT)


# --- work -----------------------------------------------------------------------------------------------


def hand_over(words: list[str]) -> int:
    """Become floatbowl, in the folder we were called from, so that file names mean what they say."""
    asked = [str(PYTHON), "-m", "floatbowl", *words]
    if ON_WINDOWS:
        return subprocess.call(asked)
    os.execv(asked[0], asked)


def test(words: list[str]) -> int:
    """Run every check, then the tests; with words, only the tests they ask for, from this folder."""
    if words:
        return subprocess.call([PYTHON, "-m", "pytest", *words], cwd=ROOT)
    failed = [name for name, asked in CHECKS if not passes(name, asked)]
    if subprocess.call([PYTHON, "-m", "pytest", "--numprocesses=2"], cwd=ROOT) != 0:
        failed.append("tests")
    if failed:
        tell(f"Not in order: {', '.join(failed)}.")
    return len(failed)


def passes(name: str, asked: tuple) -> bool:
    """Run one check from this folder and say whether it passed."""
    tell(f"--- {name}: {' '.join(asked)}")
    return subprocess.call([PYTHON, "-m", *asked], cwd=ROOT) == 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

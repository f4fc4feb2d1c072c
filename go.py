#!/usr/bin/env python3
"""Set floatbowl up once, then run what was asked for: ``python3 go.py demo``, ``python3 go.py test``.

Needs Python 3.11 and nothing else. The first run makes the folder ``.venv``
beside this file and fills it from ``requirements.lock``, every download checked
against the lock. Later runs go straight to work. ``test`` runs the checks and
the tests; every other word is handed to floatbowl as it stands.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import shutil
import subprocess
import sys
from importlib import invalidate_caches
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    Words = list[str | Path]  # a command, one word an item

ROOT = Path(__file__).resolve().parent
LOCK = ROOT / "requirements.lock"
ENV = ROOT / ".venv"
STAMP = ENV / "set-up"
ON_WINDOWS = os.name == "nt"
PYTHON = ENV / ("Scripts/python.exe" if ON_WINDOWS else "bin/python")

FLOOR = (3, 11)
LAST_WORDS = 15
"""How many lines of a failed install to show: enough to hold its complaint."""

CHECKS: tuple[tuple[str, Words], ...] = (
    ("style", [PYTHON, "-m", "ruff", "check"]),
    ("layout", [PYTHON, "-m", "ruff", "format", "--check"]),
    ("types", [PYTHON, "-m", "mypy"]),
    ("one-way imports", [PYTHON.with_name("lint-imports"), "--no-cache"]),
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
    """Say how far we are. To stderr, so that an answer on stdout can be piped on clean."""
    print(sentence, file=sys.stderr, flush=True)


# --- set-up ---------------------------------------------------------------------------------------------


def wanted_stamp() -> str:
    """Name what the environment is made from: the lock, this folder, and the Python behind it.

    An environment survives neither a move of its folder nor a newer Python put
    in the old one's place, so both are part of its name.
    """
    lock = hashlib.sha256(LOCK.read_bytes()).hexdigest()
    return f"lock {lock}\nfolder {ROOT}\npython {PYTHON.resolve()}\n"


def is_set_up() -> bool:
    """Say whether the environment is whole. The stamp is written last, so half a set-up has none."""
    return PYTHON.exists() and STAMP.exists() and STAMP.read_text(encoding="utf-8") == wanted_stamp()


@contextlib.contextmanager
def only_one_at_a_time() -> Iterator[None]:
    """Hold the set-up to ourselves: a second first run waits, then finds the work done."""
    try:
        gate = (ROOT / ".set-up.lock").open("w", encoding="utf-8")
    except OSError:
        sys.exit(
            f"floatbowl sets itself up in {ROOT} but may not write there. Clone it to a place of your own."
        )
    with gate:
        if sys.platform == "win32":
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
    import venv

    tell("Setting floatbowl up, once. It needs the network and a minute or two.")
    uv = shutil.which("uv")
    if uv is None and not can_bring_pip():
        bring_ensurepip()
    tell("1 of 3: a Python of its own, in .venv")
    venv.create(ENV, clear=True, symlinks=not ON_WINDOWS)
    tell(f"2 of 3: {count_of_parts()} parts, each checked against requirements.lock")
    if uv is None or not fill_with_uv(uv):
        fill_with_pip()
    point_at_source()
    STAMP.write_text(wanted_stamp(), encoding="utf-8")
    tell("3 of 3: the sums, compiled for this machine")
    compile_sums()
    tell("Ready. The next run starts at once.")


def can_bring_pip() -> bool:
    """Say whether this Python can put pip into an environment. Debian keeps that in a package apart."""
    return find_spec("ensurepip") is not None


def bring_ensurepip() -> None:
    """Install the piece of Python that Debian leaves out, or say which one it is."""
    package = f"python{sys.version_info.major}.{sys.version_info.minor}-venv"
    if can_install():
        tell(f"This Python cannot fill an environment yet; installing {package}.")
        install(package)
        invalidate_caches()
    if not can_bring_pip():
        sys.exit(
            "This Python cannot fill an environment: its ensurepip is missing.\n"
            f"On Debian and its kin, install it once with: sudo apt-get install {package}\n"
            "Then run the same command again."
        )


def can_install() -> bool:
    """Say whether packages of the distribution can be installed without asking anybody."""
    return shutil.which("apt-get") is not None and os.geteuid() == 0


def install(*packages: str) -> None:
    """Install packages of the distribution; whoever needs them sees whether they came."""
    quietly = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for words in (["update"], ["install", "--yes", "--no-install-recommends", *packages]):
        subprocess.run(["apt-get", *words], check=False, stdout=subprocess.DEVNULL, env=quietly)


def count_of_parts() -> int:
    """Count the packages in the lock."""
    pins = LOCK.read_text(encoding="utf-8").splitlines()
    return len({pin.split("==")[0] for pin in pins if pin[:1].isalpha()})


def fill_with_uv(uv: str) -> bool:
    """Install the lock with uv, which is quicker. False where uv could not, so that pip has a try."""
    asked: Words = [uv, "pip", "install", "--quiet", "--python", PYTHON, "--no-build", "--require-hashes"]
    return subprocess.run([*asked, "--requirements", LOCK], check=False, cwd=ROOT).returncode == 0


def fill_with_pip() -> None:
    """Install the lock with pip, which every Python brings along."""
    run_or_explain([PYTHON, "-m", "ensurepip", "--upgrade"])
    pip: Words = [PYTHON, "-m", "pip", "--disable-pip-version-check", "--no-input", "install"]
    run_or_explain([*pip, "--only-binary=:all:", "--require-hashes", "--requirement", LOCK])


def run_or_explain(asked: Words) -> None:
    """Run a step of the set-up, naming the parts as they come; stop with its last words if it fails."""
    said: list[str] = []
    with subprocess.Popen(
        asked, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as step:
        for line in step.stdout or ():
            said.append(line)
            if line.startswith("Collecting "):
                show_in_place(line.split()[1].split("==")[0])
    show_in_place("")
    if step.returncode != 0:
        tell("".join(said[-LAST_WORDS:]))
        sys.exit("The set-up did not finish; its last words stand above. Run the same command to try again.")


def show_in_place(text: str) -> None:
    """Show what is being fetched, over what was shown before; nothing where nobody watches."""
    if sys.stderr.isatty():
        print(f"\r\033[K        {text}" if text else "\r\033[K", end="", file=sys.stderr, flush=True)


def point_at_source() -> None:
    """Let the environment read floatbowl straight from ``src``: no build, so nothing outside the lock."""
    ask = "import sysconfig; print(sysconfig.get_path('purelib'))"
    answer = subprocess.run([PYTHON, "-c", ask], check=True, capture_output=True, text=True)
    place = Path(answer.stdout.strip(), "floatbowl-source.pth")
    place.write_text(f"{ROOT / 'src'}\n", encoding="utf-8")


def compile_sums() -> None:
    """Compile the kernels now, so that the first answer is quick. If that fails, first use compiles them."""
    if (ROOT / "src/floatbowl/belief/warm.py").exists():
        subprocess.run([PYTHON, "-m", "floatbowl.belief.warm"], check=False, cwd=ROOT)


# --- work -----------------------------------------------------------------------------------------------


def hand_over(words: list[str]) -> int:
    """Become floatbowl, in the folder we were called from, so that file names mean what they say."""
    asked = [str(PYTHON), "-m", "floatbowl", *words]
    if not ON_WINDOWS:
        os.execv(asked[0], asked)
    return subprocess.call(asked)


def test(words: list[str]) -> int:
    """Run every check, then the tests; with words, only the tests they ask for, from this folder."""
    if words:
        return subprocess.call([PYTHON, "-m", "pytest", *words], cwd=ROOT)
    bring_browser()
    failed = [name for name, asked in CHECKS if not passes(name, asked)]
    tell("tests:")
    if subprocess.call([PYTHON, "-m", "pytest", "--numprocesses=2"], cwd=ROOT) != 0:
        failed.append("tests")
    if failed:
        tell(f"Not in order: {', '.join(failed)}.")
    return len(failed)


def bring_browser() -> None:
    """Install the browser in which the pages are tried, where that can be done; else their tests say so."""
    if shutil.which("chromium") is None and can_install():
        tell("The pages are tried in a browser; installing chromium.")
        install("chromium", "fonts-dejavu-core")


def passes(name: str, asked: Words) -> bool:
    """Run one check from this folder and say whether it passed; what it says is shown only if it did not."""
    ran = subprocess.run(
        asked, cwd=ROOT, check=False, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    tell(f"{name}: in order" if ran.returncode == 0 else f"{ran.stdout}\n{name}: not in order, see above")
    return ran.returncode == 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""The documents tell the truth: each page is followed from top to bottom, as a reader would.

Every page gets an empty folder and a garage of its own. CONTRIBUTING.md says
which blocks are run, written to a file, or only shown.
"""

import os
import re
import shlex
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGES = sorted(path.relative_to(ROOT).as_posix() for path in (*ROOT.glob("*.md"), *ROOT.glob("docs/**/*.md")))

FENCE = re.compile(r"^```(?P<info>[^\n`]*)\n(?P<body>.*?)^```$", flags=re.DOTALL | re.MULTILINE)
OURS = re.compile(r"(?:floatbowl|python3 go\.py)(?= |$)")
NOT_HERE = ("test", "demo", "open")
"""Words that other tests run: the tests would run themselves, and what opens stays open until Ctrl-C."""

PAPER = {"COLUMNS": "80", "NO_COLOR": "1", "PYTHONIOENCODING": "utf-8"}
"""The width and colours that the pages were written on."""

FRAME = " ║╔╗╚╝╠╣═○▞"
PATIENCE_S = 120


@dataclass(frozen=True)
class Block:
    """One fenced block of a page: its line, its language, the file it is to be written to, its text."""

    line: int
    language: str
    file: str
    body: str


def blocks(text: str) -> Iterator[Block]:
    """Give the blocks of a page from top to bottom."""
    for found in FENCE.finditer(text):
        language, _, file = found["info"].strip().partition(" ")
        yield Block(text.count("\n", 0, found.start()) + 1, language, file.strip(), found["body"])


def commands(body: str) -> Iterator[tuple[str, str]]:
    """Give each command of a console block with what is to be printed below it."""
    for part in re.split(r"^\$ ", body, flags=re.MULTILINE)[1:]:
        command, _, printed = part.partition("\n")
        yield command, printed


def is_as_printed(shown: str, printed: str) -> bool:
    """Compare word by word; ``...`` on the page stands for whatever comes there, or for nothing."""
    pattern = re.escape(" ".join(printed.split())).replace(r"\ \.\.\.", ".*").replace(r"\.\.\.", ".*")
    return re.fullmatch(pattern, " ".join(shown.split()), flags=re.DOTALL) is not None


def follow_command(command: str, printed: str, folder: Path) -> None:
    """Run a command of ours in the page's folder and compare what it prints."""
    words = shlex.split(OURS.sub("", command, count=1), comments=True)
    if not OURS.match(command) or words[:1] in [[word] for word in NOT_HERE]:
        return
    place = {**os.environ, **PAPER, "FLOATBOWL_GARAGE": str(folder / "the.garage"), "HOME": str(folder)}
    asked = [sys.executable, "-m", "floatbowl", *words]
    ran = subprocess.run(
        asked, cwd=folder, env=place, check=False, capture_output=True, text=True, timeout=PATIENCE_S
    )
    assert ran.returncode == 0, f"{command}\n{ran.stdout}{ran.stderr}"
    shown = ran.stdout + ran.stderr
    assert not printed or is_as_printed(shown, printed), f"{command}\nprinted:\n{shown}\nand not:\n{printed}"


def follow(block: Block, folder: Path, names: dict[str, object]) -> None:
    """Do what a reader does with one block."""
    match block.language:
        case "python":
            code = compile("\n" * block.line + block.body, "page", "exec")
            exec(code, names)  # noqa: S102  (our own pages)
        case "toml":
            tomllib.loads(block.body)
            if block.file:
                (folder / block.file).write_text(block.body, encoding="utf-8")
        case "text" if block.file.endswith(".txt"):
            (folder / block.file).write_text(block.body, encoding="utf-8")
        case "console":
            for command, printed in commands(block.body):
                follow_command(command, printed, folder)


@pytest.mark.door
@pytest.mark.parametrize("page", PAGES)
def test_a_page_can_be_followed(page: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever follows the page from top to bottom meets what it says."""
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {"__name__": "page"}
    for block in blocks((ROOT / page).read_text(encoding="utf-8")):
        follow(block, tmp_path, names)


@pytest.mark.door
@pytest.mark.slow
def test_the_picture_in_the_readme_is_the_demos() -> None:
    """Each line of the README's picture that holds no number stands in the demo.

    Numbers may differ a little from machine to machine.
    """
    asked = [sys.executable, "-m", "floatbowl", "demo", "--terminal"]
    shown = subprocess.run(
        asked, env={**os.environ, **PAPER}, check=True, capture_output=True, text=True
    ).stdout
    drawn = {line.strip(FRAME) for line in shown.splitlines()}
    (picture,) = (
        block.body for block in blocks((ROOT / "README.md").read_text("utf-8")) if block.file == "demo"
    )
    said = {line.strip(FRAME) for line in picture.splitlines()} - {"", "..."}
    worded = {line for line in said if not re.search(r"\d", line)}
    assert len(worded) > 5
    assert worded <= drawn


def test_a_page_that_lies_is_caught(tmp_path: Path) -> None:
    """A command that fails and an output that differs are both noticed."""
    with pytest.raises(AssertionError):
        follow(Block(1, "console", "", "$ floatbowl no-such-word\n"), tmp_path, {})
    with pytest.raises(AssertionError):
        follow(Block(1, "console", "", "$ floatbowl --help\nnothing of the kind\n"), tmp_path, {})
    with pytest.raises(tomllib.TOMLDecodeError):
        follow(Block(1, "toml", "", "name = Magpie\n"), tmp_path, {})


def test_blocks_are_found_with_their_lines_and_files() -> None:
    """A page is cut into its blocks; text between them is left alone."""
    page = "One\n\n```toml a.toml\nx = 1\n```\n\ntwo\n\n```console\n$ floatbowl a\nb\n$ floatbowl c\n```\n"
    first, second = blocks(page)
    assert (first.line, first.language, first.file, first.body) == (3, "toml", "a.toml", "x = 1\n")
    assert list(commands(second.body)) == [("floatbowl a", "b\n"), ("floatbowl c", "")]


def test_dots_stand_for_anything() -> None:
    """Three dots on a page match any words or none; all else must be there, in order."""
    assert is_as_printed("one\ntwo  three\n", "one\n...\nthree\n")
    assert is_as_printed("one\n", "one\n...\n")
    assert not is_as_printed("one\ntwo\n", "one\n")
    assert not is_as_printed("two one\n", "one\n...\ntwo\n")

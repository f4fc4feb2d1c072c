"""Every job can be reached, is explained, and costs no more than it must before it starts."""

import ast
import inspect
import os
import re
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from floatbowl import jobs
from floatbowl.cli import main

COMMANDS = sorted(main.commands)
NOT_A_JOB = {"bike", "bikes", "changed", "close", "facts", "places", "prove", "setups", "trials"}
"""What the library's door hands out plain, and its manners; ``prove`` is ``proof`` without what is done."""

FOR_THE_PAGE = {"new_bike", "remeasure", "set_aside", "set_setting", "settings", "strike", "tag_on"}
"""What is done by tapping: a bike file, ``next`` and ``undo`` serve on the command line."""

WITHOUT_A_GARAGE = {"check", "demo", "guide"}
"""One looks at a file only, one brings its own garage, one is about no bike."""

HEAVY = {"numba", "llvmlite", "numpy"}
"""What only thinking may load."""


def jobs_offered() -> set[str]:
    """Give the names of the garage's jobs."""
    offered = {
        name for name, _ in inspect.getmembers(jobs.Garage, inspect.isfunction) if not name.startswith("_")
    }
    return offered - NOT_A_JOB - FOR_THE_PAGE


def test_every_job_stands_behind_a_command(source: Path) -> None:
    """Each job of the garage is asked for by the command line."""
    named = {
        node.attr
        for path in (source / "cli").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute)
    }
    assert jobs_offered() - named == set()


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_a_page(name: str, pages: dict[str, str]) -> None:
    """Some page of docs/how-to/ shows each command in use."""
    shown = re.compile(rf"^\$ (?:floatbowl|python3 go\.py) {name}\b", flags=re.MULTILINE)
    assert [page for page, text in pages.items() if page.startswith("docs/how-to/") and shown.search(text)]


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help(name: str) -> None:
    """Each command says what it does, and each of its options what it is for."""
    command = main.commands[name]
    shown = CliRunner().invoke(main, [name, "--help"], prog_name="floatbowl")
    assert shown.exit_code == 0
    assert shown.output.startswith(f"Usage: floatbowl {name}")
    assert (command.help or "").strip()
    options = [option for option in command.params if isinstance(option, click.Option)]
    assert [option.name for option in options if not option.help] == []


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_speaks_json_and_takes_a_garage(name: str) -> None:
    """``--json`` is understood everywhere, ``--garage`` wherever a garage is opened."""
    understood = {word for option in main.commands[name].params for word in option.opts}
    wanted = {"--json"} if name in WITHOUT_A_GARAGE else {"--json", "--garage"}
    assert wanted <= understood


@pytest.mark.door
@pytest.mark.slow
def test_recording_and_showing_load_no_sums(tmp_path: Path) -> None:
    """What only records, shows or checks is back before the sums would have been loaded."""
    from_page = """form = "floatbowl.bike/1"\nname = "Magpie"
[engine]\nstrokes = 4\nswept_cc = 124.1\n[carb]\nbore_mm = 26.0
[setup]\nnumber = 1\nmain = "110"\npilot = "40"\nclip_from_top = 3\ncutaway = "2.5"\nscrew_turns = 1.5\n"""
    (tmp_path / "magpie.toml").write_text(from_page, encoding="utf-8")
    evening = [
        ["--help"],
        ["check", "magpie.toml"],
        ["add", "magpie.toml"],
        ["said", "magpie", "1/4", "bogs", "--snap"],
        ["looked", "magpie", "soap", "found"],
        ["mended", "magpie", "air", "leak"],
        ["fitted", "magpie", "main=108"],
        ["drawer", "add", "main", "105", "108"],
        ["log", "magpie"],
        ["undo"],
        ["export", "magpie"],
    ]
    loaded = {" ".join(words): heavy_parts_of(words, tmp_path) for words in evening}
    assert {words: parts for words, parts in loaded.items() if parts} == {}


def heavy_parts_of(words: list[str], folder: Path) -> set[str]:
    """Run floatbowl in a fresh Python and give which heavy parts it loaded; it must succeed."""
    asked = [sys.executable, "-X", "importtime", "-m", "floatbowl", *words]
    place = {**os.environ, "FLOATBOWL_GARAGE": str(folder / "the.garage")}
    ran = subprocess.run(asked, cwd=folder, env=place, check=False, capture_output=True, text=True)
    assert ran.returncode == 0, f"{words}: {ran.stdout}{ran.stderr.splitlines()[-5:]}"
    names = re.findall(r"^import time:.*\| *([\w.]+)$", ran.stderr, flags=re.MULTILINE)
    assert "floatbowl.cli" in names
    return {name.split(".")[0] for name in names} & HEAVY

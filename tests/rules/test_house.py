"""Small rules that keep the house one house: words, names of settings, nothing foreign in any file."""

import importlib
import re
from pathlib import Path

import pytest

from floatbowl.advice.advice import Advice
from floatbowl.belief.belief import Belief
from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Carb
from floatbowl.bike.day import Day
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.engine import Fuel
from floatbowl.bike.measure import Measure
from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import Setup

NOUNS = ("Bike", "Setup", "Drawer", "Day", "Trial", "Reading", "Belief", "Advice")
CLASSES = {
    kind.__name__: kind for kind in (Advice, Bike, Belief, Carb, Day, Drawer, Fuel, Measure, Rung, Setup)
}

HOSTS = tuple(
    ".".join(parts)
    for parts in (
        ("py" + "pi", "org"),
        ("python" + "hosted", "org"),
        ("npm" + "js", "org"),
        ("npm" + "js", "com"),
        ("yarn" + "pkg", "com"),
        ("deb" + "ian", "org"),
        ("crates", "io"),
    )
)
"""Hosts of package registries, in pieces so that this file passes its own rule."""

MACHINE = re.compile(
    r"(?<![\w.>*}-])/(?:" + "|".join(("work", "root", "home", "Users", "farm", "tm" + "p")) + r")/\w"
)
"""A path that only one machine has."""


def words_of(path: Path) -> str:
    """Give a file's text; a picture or another binary has none."""
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return ""


def test_every_noun_is_in_the_glossary(pages: dict[str, str]) -> None:
    """The eight nouns stand in the glossary with their code names."""
    listed = re.findall(r"^\| (\w+) \|.*`([\w.]+)` \|$", pages["docs/glossary.md"], flags=re.MULTILINE)
    names = dict(listed)
    assert [noun for noun in NOUNS if not names.get(noun, "").endswith(f".{noun}")] == []


def test_every_code_name_in_the_glossary_is_real(source: Path, pages: dict[str, str]) -> None:
    """What the glossary calls a thing in code is what the code calls it."""
    named = set(
        re.findall(
            r"`([\w.]+)`(?:, kind `\w+`)?(?: and others)? \|$", pages["docs/glossary.md"], flags=re.MULTILINE
        )
    )
    code = "\n".join(words_of(path) for path in source.rglob("*.py"))
    assert len(named) > len(NOUNS)
    assert sorted(name for name in named if not is_real(name, source, code)) == []


def is_real(name: str, source: Path, code: str) -> bool:
    """Say whether a room, a module's member, a noun's field or a plain name exists."""
    first, *rest = name.split(".")
    if first in CLASSES:
        return all(hasattr(CLASSES[first], field) for field in rest)
    if not rest:
        return (source / first).exists() or re.search(rf"\b{first}\b", code) is not None
    place, member = name.rsplit(".", 1)
    return hasattr(importlib.import_module(f"floatbowl.{place}"), member)


def test_settings_in_the_documents_exist_in_code(
    root: Path, tracked: list[Path], pages: dict[str, str]
) -> None:
    """An environment variable is named alike in documents and code, and none is kept quiet."""
    pattern = re.compile(r"\bFLOATBOWL_[A-Z_]+\b")
    in_docs = {name for text in pages.values() for name in pattern.findall(text)}
    code = [
        path for path in tracked if path.suffix == ".py" and path != root / Path(__file__).relative_to(root)
    ]
    in_code = {name for path in code for name in pattern.findall(words_of(path))}
    assert in_docs == in_code


def test_no_file_names_a_registry(tracked: list[Path]) -> None:
    """No file, the lock least of all, names the host of a package registry."""
    found = [f"{path.name}: {host}" for path in tracked for host in HOSTS if host in words_of(path)]
    assert not found


def test_the_lock_holds_no_address(root: Path) -> None:
    """The lock pins every part with a hash and says nowhere to fetch it from."""
    lock = (root / "requirements.lock").read_text(encoding="utf-8")
    pins = re.split(r"\n(?=\S)", lock.strip())
    assert "://" not in lock
    assert [pin.split()[0] for pin in pins if "--hash=sha256:" not in pin] == []


def test_no_file_names_a_place_on_one_machine(tracked: list[Path]) -> None:
    """No file holds a path that only its author's machine has."""
    assert [path.name for path in tracked if MACHINE.search(words_of(path))] == []


@pytest.mark.parametrize(
    "line", ["see " + "/" + "work/main/x", "'/" + "tm" + "p/a.log'", "(/" + "home/ann/garage)"]
)
def test_a_place_on_one_machine_is_seen(line: str) -> None:
    """The rule on paths catches what it is for."""
    assert MACHINE.search(line)


def test_every_decision_that_is_cited_exists(root: Path, tracked: list[Path]) -> None:
    """A number after "decisions/" has its note."""
    notes = {path.name[:4] for path in (root / "docs" / "decisions").glob("0*.md")}
    cited = {number for path in tracked for number in re.findall(r"decisions/(\d{4})", words_of(path))}
    assert cited <= notes


def test_no_two_decisions_share_a_number(root: Path) -> None:
    """Each note has a number of its own, and its title begins with it."""
    notes = sorted((root / "docs" / "decisions").glob("0*.md"))
    assert len({path.name[:4] for path in notes}) == len(notes)
    assert [path.name for path in notes if not words_of(path).startswith(f"# {path.name[:4]} ")] == []

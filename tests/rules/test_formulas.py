"""Every formula says in which units it speaks and where it comes from; every outside number too."""

import ast
import importlib
import pkgutil
import re
import tomllib
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from types import ModuleType
from typing import get_args

import pytest

import floatbowl
from floatbowl import units
from floatbowl.figures import Figure

UNITS = {
    name for name, value in vars(units).items() if any(isinstance(arg, units.Unit) for arg in get_args(value))
}
SYMBOLS = {
    arg.symbol for name in UNITS for arg in get_args(vars(units)[name]) if isinstance(arg, units.Unit)
} - {"1"}
PURE = {"SI", "share", "shares", "ratio", "ratios", "factor", "lambda", "logarithm", "logarithms", "rpm"}
"""Words that say the unit of an array of pure numbers, or of many quantities at once."""
PLAIN = {"int", "bool", "str", "None", "Literal", "Callable", "Generator"}
HOLDERS = {"Sequence", "Mapping", "Iterable", "Iterator", "tuple", "dict", "list"}
ARRAYS = {"Array", "NDArray"}
GROUNDS = ("common practice", "from memory", "judgement", "own derivation")
"""What may stand for a source where there is no publication."""


@pytest.fixture(scope="module")
def keys(root: Path) -> set[str]:
    """Give the keys of the sources."""
    return set(tomllib.loads((root / "docs" / "sources.toml").read_text(encoding="utf-8")))


def formulas(source: Path) -> Iterator[tuple[str, ast.FunctionDef]]:
    """Give every public function of the flow that gives something, with the name of its file."""
    for path in sorted((source / "flow").rglob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if (
                isinstance(node, ast.FunctionDef)
                and not node.name.startswith("_")
                and not gives_nothing(node)
            ):
                yield f"{path.name}: {node.name}", node


def gives_nothing(node: ast.FunctionDef) -> bool:
    """Say whether a function is an act, not a formula."""
    return isinstance(node.returns, ast.Constant) and node.returns.value is None


def hints(node: ast.FunctionDef) -> list[ast.expr | None]:
    """Give the annotations of a function: of what goes in and of what comes out."""
    given = node.args.posonlyargs + node.args.args + node.args.kwonlyargs
    return [*(arg.annotation for arg in given), node.returns]


def bare(hint: ast.expr | None, said: str) -> str | None:
    """Name the number in ``hint`` that does not say its unit, where there is one.

    Arrays of several quantities have no type of their own: the docstring says their units.
    """
    match hint:
        case None:
            return "no annotation"
        case ast.Constant(value=None):
            return None
        case ast.BinOp(left=left, right=right):
            return bare(left, said) or bare(right, said)
        case ast.Subscript(value=ast.Name(id=name), slice=inner) if name in HOLDERS:
            parts = inner.elts if isinstance(inner, ast.Tuple) else [inner]
            return next((found for part in parts if (found := bare(part, said))), None)
        case ast.Subscript(value=ast.Name(id=name)) | ast.Name(id=name):
            return bare_name(name, said)
        case _:
            return None


def bare_name(name: str, said: str) -> str | None:
    """Say what is wrong with one named type, if anything."""
    if name in ARRAYS:
        prose = said.split(">>>", maxsplit=1)[0]
        says_unit = any(re.search(rf"(?<![\w/]){re.escape(word)}(?![\w/])", prose) for word in SYMBOLS | PURE)
        return None if says_unit else f"{name} whose unit the docstring does not say"
    is_noun = name[:1].isupper() and name not in {"Real", "Any"}
    return None if name in UNITS | PLAIN or is_noun else name


def test_every_signature_of_the_flow_says_its_units(source: Path) -> None:
    """A number that goes into a formula or comes out of it carries its unit."""
    wrong = {
        f"{place}({found})"
        for place, node in formulas(source)
        for hint in hints(node)
        if (found := bare(hint, ast.get_docstring(node) or ""))
    }
    assert not wrong, "\n".join(sorted(wrong))


@pytest.mark.parametrize(
    ("signature", "is_bare"),
    [
        ("def f(drop: Pascal, n: int) -> KgPerSecond: ...", False),
        ("def f(drop: Pascal) -> float: ...", True),
        ("def f(drop: Real) -> Pascal: ...", True),
        ("def f(drop) -> Pascal: ...", True),
        ("def f(drops: Sequence[float]) -> Pascal: ...", True),
        ("def f(pulls: Array) -> Pascal: ...", True),
        ("def f(pulls: Array) -> Pascal:\n    '''Take pulls (draw,) in Pa.'''", False),
    ],
)
def test_a_bare_number_is_seen(signature: str, *, is_bare: bool) -> None:
    """The rule on units passes good signatures and catches bare ones."""
    node = ast.parse(signature).body[0]
    assert isinstance(node, ast.FunctionDef)
    assert any(bare(hint, ast.get_docstring(node) or "") for hint in hints(node)) is is_bare


def test_every_formula_names_its_source(source: Path) -> None:
    """The docstring of a public function of the flow has a Source line."""
    silent = [place for place, node in formulas(source) if "Source: " not in (ast.get_docstring(node) or "")]
    assert not silent, "\n".join(silent)


def test_every_cited_key_is_on_the_list(source: Path, keys: set[str]) -> None:
    """A key in square brackets in the paragraph after "Source:" stands in docs/sources.toml."""
    unknown = set()
    for path in sorted(source.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        for said in re.findall(r"Source: (.+?)(?:\n\s*#?\s*\n|\"\"\"|\n\S|\Z)", text, flags=re.DOTALL):
            cited = set(re.findall(r"\[([a-z][a-z0-9-]+)\]", said))
            if not cited and not said.startswith(GROUNDS):
                unknown.add(f"{path.name}: {said[:60]}")
            unknown |= {f"{path.name}: [{key}]" for key in cited - keys}
    assert not unknown, "\n".join(sorted(unknown))


def modules() -> Iterator[ModuleType]:
    """Give every module of floatbowl."""
    for found in pkgutil.walk_packages(floatbowl.__path__, "floatbowl."):
        if not found.name.endswith("__main__"):
            yield importlib.import_module(found.name)


def figures_in(thing: object) -> Iterator[Figure]:
    """Give the figures held by a value, however deep."""
    if isinstance(thing, Figure):
        yield thing
    elif isinstance(thing, dict):
        yield from figures_in(tuple(thing.values()))
    elif isinstance(thing, tuple | list | frozenset):
        for item in thing:
            yield from figures_in(item)
    elif is_dataclass(thing) and not isinstance(thing, type):
        for field in fields(thing):
            yield from figures_in(getattr(thing, field.name))


def test_every_figure_names_its_source(keys: set[str]) -> None:
    """A Figure's source begins with a key of the list, or says on which other ground it stands, and why."""
    wrong = set()
    for module in modules():
        for figure in figures_in(vars(module)):
            said = figure.source
            cited = set(re.findall(r"\[([a-z][a-z0-9-]+)\]", said))
            grounded = said.startswith(GROUNDS) or said.lstrip("[").split()[0].rstrip("],:;") in keys
            reasoned = not said.startswith("judgement") or len(said) > len("judgement, why")
            if not (grounded and reasoned and cited <= keys):
                wrong.add(f"{module.__name__}: {said}")
    assert not wrong, "\n".join(sorted(wrong))


def test_every_source_is_whole(root: Path) -> None:
    """A source says who, what, where, and how we know it; nothing that rests on it is marked as not read."""
    listed = tomllib.loads((root / "docs" / "sources.toml").read_text(encoding="utf-8"))
    ways = {"read", "abstract", "quoted", "run", "from memory", "not read"}
    for key, entry in listed.items():
        assert (
            {"author", "title", "where", "seen"}
            <= set(entry)
            <= {"author", "title", "year", "where", "seen", "note"}
        ), key
        assert entry["seen"] in ways, key

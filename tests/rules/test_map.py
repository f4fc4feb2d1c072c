"""ARCHITECTURE.md tells the truth: every room, every path and every link in the documents is there."""

import re
import tomllib
from pathlib import Path, PurePosixPath


def rooms_on_the_map(page: str) -> list[str]:
    """Give the rooms in the order of the map's table."""
    table = page.split("## The map", 1)[1].split("\n\n| You ask", 1)[0]
    return re.findall(r"^\| `(\w+)` \|", table, flags=re.MULTILINE)


def test_every_module_sits_in_a_room_on_the_map(source: Path, pages: dict[str, str]) -> None:
    """Each file belongs to a room that the map names, and the map names no room that is not there."""
    built = {path.relative_to(source).with_suffix("").parts[0] for path in source.rglob("*.py")}
    assert set(rooms_on_the_map(pages["ARCHITECTURE.md"])) == built - {"__init__", "__main__"}


def test_the_map_has_the_order_of_the_contract(root: Path, pages: dict[str, str]) -> None:
    """The map, read downwards, is the layers of the import contract, read upwards."""
    setting = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = setting["tool"]["importlinter"]["contracts"]
    layers = next(contract["layers"] for contract in contracts if contract["type"] == "layers")
    upwards = [room.strip() for layer in reversed(layers) for room in layer.split("|")]
    assert rooms_on_the_map(pages["ARCHITECTURE.md"]) == upwards


def test_every_path_in_the_documents_is_there(root: Path, source: Path, pages: dict[str, str]) -> None:
    """What a page writes as a path, like `flow/needle.py` or `docs/decisions/`, can be opened."""
    missing = {
        f"{page}: {path}"
        for page, text in pages.items()
        for path in re.findall(r"`((?:[A-Za-z_.][\w.-]*/)+(?:[A-Za-z_][\w.-]*)?)`", text)
        if not any((place / path).exists() for place in (root, source))
    }
    assert not missing


def test_every_link_in_the_documents_leads_somewhere(root: Path, pages: dict[str, str]) -> None:
    """A link to another page of ours finds it, and its heading."""
    broken = set()
    for page, text in pages.items():
        for link in re.findall(r"\]\(([^)\s]+)\)", text):
            path, _, heading = link.partition("#")
            place = root / PurePosixPath(page).parent / path if path else root / page
            if "://" in link:
                continue
            if not place.exists() or (heading and heading not in headings(place.read_text(encoding="utf-8"))):
                broken.add(f"{page}: {link}")
    assert not broken


def headings(text: str) -> set[str]:
    """Give the anchors that a page's headings make."""
    titles = re.findall(r"^#+ (.+)$", text, flags=re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}

"""The documents as a site of HTML pages, made here and read here: ``python -m tests.docs.site OUT``.

Every page of the repository becomes a page of the same name; a link that leads
nowhere stops the work. Plots beside the derivations are drawn by the code that
they tell of, when the site is made.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from html import escape, unescape
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

from markdown_it import MarkdownIt

from floatbowl.draw.palette import theme_css
from tests.docs.plots import PLOTS

ROOT = Path(__file__).resolve().parents[2]
STATIC = ROOT / "src/floatbowl/web/static"
STYLE = """
.page{max-width:54rem}
main{display:block}
main>*+*{margin-top:1rem}
h2{margin-top:2.2rem}
h3{margin-top:1.6rem}
pre{overflow-x:auto;padding:.8rem 1rem;background:var(--card);border:1px solid var(--rule)}
code{font:.92em/1.4 ui-monospace,monospace}
table{display:block;overflow-x:auto}
main img,main figure svg{max-width:100%;height:auto}
.ways{display:flex;flex-wrap:wrap;gap:0 1rem}
.ways a{min-height:48px;display:flex;align-items:center}
"""
"""What a page of the site has beside the house's own style."""


class BrokenLinksError(Exception):
    """Links that lead nowhere, one a line."""


@dataclass
class Page:
    """One page: where it came from, its title, its HTML, the names one can jump to, where its links lead."""

    source: Path
    title: str
    body: str
    names: set[str] = field(default_factory=set)
    links: list[str] = field(default_factory=list)


def make_site(out: Path, *, root: Path = ROOT) -> list[Path]:
    """Make the site and give its pages. Raises ``BrokenLinksError``, and then has written nothing."""
    pages = {source: _read(source) for source in _sources(root)}
    broken = [
        f"{page.source.relative_to(root)}: {link}" for page in pages.values() for link in _broken(page, pages)
    ]
    if broken:
        raise BrokenLinksError("\n".join(broken))
    out.mkdir(parents=True, exist_ok=True)
    (out / "style.css").write_text(_sheet(), encoding="utf-8")
    shutil.copytree(STATIC / "fonts", out / "fonts", dirs_exist_ok=True)
    return [_write(page, out, root) for page in pages.values()]


def _sources(root: Path) -> list[Path]:
    return sorted((*root.glob("*.md"), *root.glob("docs/**/*.md")))


def _sheet() -> str:
    return f"{theme_css()}\n{(STATIC / 'style.css').read_text(encoding='utf-8')}\n{STYLE}"


# --- reading a page ----------------------------------------------------------------------------------------


class _Seen(HTMLParser):
    """What one can jump to, and where links lead."""

    def __init__(self) -> None:
        super().__init__()
        self.names: set[str] = set()
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002  (the library's signature)
        for name, value in attrs:
            if name == "id":
                self.names.add(value or "")
            elif name in {"href", "src"}:
                self.links.append(value or "")


def _read(source: Path) -> Page:
    text = source.read_text(encoding="utf-8")
    body = _named(MarkdownIt("commonmark", {"html": False}).enable("table").render(text))
    seen = _Seen()
    seen.feed(body)
    head = re.search(r"<h1[^>]*>(.*?)</h1>", body)
    title = unescape(re.sub(r"<[^>]*>", "", head[1])) if head else source.stem
    return Page(source, title, body, seen.names, seen.links)


def _named(body: str) -> str:
    """Give every heading a name to jump to: its words, small, with hyphens between."""

    def name(found: re.Match[str]) -> str:
        words = unescape(re.sub(r"<[^>]*>", "", found[2])).casefold()
        slug = re.sub(r"\s", "-", re.sub(r"[^\w\s-]", "", words).strip())
        return f'<h{found[1]} id="{escape(slug)}">{found[2]}</h{found[1]}>'

    return re.sub(r"<h([1-6])>(.*?)</h\1>", name, body)


# --- links -------------------------------------------------------------------------------------------------


def _broken(page: Page, pages: dict[Path, Page]) -> Iterator[str]:
    """Give the links of a page that lead nowhere; what lies outside of this repository is not asked."""
    for link in page.links:
        told = urlsplit(link)
        if told.scheme:
            continue
        target = (page.source.parent / unquote(told.path)).resolve() if told.path else page.source
        there = pages.get(target)
        is_named = not told.fragment or there is None or unquote(told.fragment) in there.names
        if not (target.exists() and is_named):
            yield link


def _led(page: Page, root: Path, out: Path) -> Callable[[re.Match[str]], str]:
    """Lead a link to where its target stands in the site; files beside the pages come along."""

    def lead(found: re.Match[str]) -> str:
        told = urlsplit(unescape(found[2]))
        if told.scheme or not told.path:
            return found[0]
        target = (page.source.parent / unquote(told.path)).resolve()
        if target.is_dir():
            _list(target, out / target.relative_to(root))
            return f'{found[1]}="{escape(told.path.rstrip("/"))}/index.html"'
        if target.suffix == ".md" and target in _sources(root):
            way = re.sub(r"\.md$", ".html", told.path)
        else:
            way = told.path
            (out / target.relative_to(root)).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(target, out / target.relative_to(root))
        return f'{found[1]}="{escape(way)}{"#" + told.fragment if told.fragment else ""}"'

    return lead


def _list(folder: Path, place: Path) -> None:
    """Bring a folder along that a page leads to: its files, and a list of them."""
    place.mkdir(parents=True, exist_ok=True)
    files = [one for one in sorted(folder.iterdir()) if one.is_file()]
    for one in files:
        shutil.copyfile(one, place / one.name)
    rows = "".join(f'<li><a href="{escape(one.name)}">{escape(one.name)}</a></li>' for one in files)
    name = escape(folder.name)
    (place / "index.html").write_text(
        f'<!doctype html>\n<html lang="en-GB"><head><meta charset="utf-8"><title>{name}</title></head>'
        f"<body><h1>{name}</h1><ul>{rows}</ul></body></html>\n",
        encoding="utf-8",
    )


# --- writing a page ----------------------------------------------------------------------------------------

WAYS = (
    ("README.md", "Start"),
    ("docs/first-evening.md", "First evening"),
    ("docs/how-to/README.md", "How to"),
    ("docs/glossary.md", "Words"),
    ("docs/validity.md", "How far to trust it"),
    ("ARCHITECTURE.md", "How it is put together"),
)
"""The ways on, which stand on every page."""


def _write(page: Page, out: Path, root: Path) -> Path:
    place = (out / page.source.relative_to(root)).with_suffix(".html")
    place.parent.mkdir(parents=True, exist_ok=True)
    up = os.path.relpath(out, place.parent).replace(os.sep, "/")
    body = re.sub(r'(href|src)="([^"]*)"', _led(page, root, out), page.body)
    plot = PLOTS.get(page.source.relative_to(root).as_posix())
    drawn = "" if plot is None else f"<figure>{plot()}</figure>"
    ways = "".join(
        f'<a href="{up}/{source.removesuffix(".md")}.html">{escape(name)}</a>'
        for source, name in WAYS
        if (root / source).exists()
    )
    place.write_text(
        f'<!doctype html>\n<html lang="en-GB"><head><meta charset="utf-8">'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<title>{escape(page.title)}</title><link rel="icon" href="data:,">'
        f'<link rel="stylesheet" href="{up}/style.css"></head>'
        f'<body><div class="page"><nav class="ways" aria-label="Documents">{ways}</nav>'
        f"<main>{body}{drawn}</main></div></body></html>\n",
        encoding="utf-8",
    )
    return place


def main() -> None:
    """Make the site in the folder that is named."""
    if len(sys.argv) != 2:
        sys.exit("Name the folder: python -m tests.docs.site OUT")
    try:
        made = make_site(Path(sys.argv[1]))
    except BrokenLinksError as trouble:
        sys.exit(f"These links lead nowhere:\n{trouble}")
    sys.stdout.write(f"{len(made)} pages. Begin with {Path(sys.argv[1]) / 'README.html'}\n")


if __name__ == "__main__":
    main()

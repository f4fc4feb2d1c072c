"""The site made of the documents: whole, no link that leads nowhere, plots from the sums."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

from tests.docs.plots import PLOTS, curve
from tests.docs.site import ROOT, BrokenLinksError, make_site


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make the site of this repository once."""
    out = tmp_path_factory.mktemp("site")
    make_site(out)
    return out


def test_every_document_is_a_page(site: Path) -> None:
    """Each page of the repository stands in the site under its own name, with its title."""
    for source in (*ROOT.glob("*.md"), *ROOT.glob("docs/**/*.md")):
        shown = (site / source.relative_to(ROOT)).with_suffix(".html").read_text(encoding="utf-8")
        assert "<title>" in shown
        assert len(re.findall(r"<h1\b", shown)) == 1, source


def test_no_link_of_the_site_leads_nowhere(site: Path) -> None:
    """Every address on every page is a file of the site, or lies outside and is only a link."""
    for page in site.rglob("*.html"):
        for link in re.findall(r'(?:href|src)="([^"#]+)', page.read_text(encoding="utf-8")):
            if not re.match(r"(?:https?|mailto|data):", link):
                assert (page.parent / link).exists(), f"{page.relative_to(site)}: {link}"


def test_the_site_fetches_nothing(site: Path) -> None:
    """No page loads style, script or picture from elsewhere."""
    for page in site.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert "<script" not in text
        assert re.findall(r'<(?:link|img)[^>]*(?:href|src)="(?:https?:)?//', text) == []


def test_plots_come_from_the_sums(site: Path) -> None:
    """The pages of derivations hold their plots; each is drawn anew by the code it tells of."""
    for source, draw in PLOTS.items():
        assert draw() in (site / source).with_suffix(".html").read_text(encoding="utf-8")


def test_a_curve_rises_where_its_numbers_do() -> None:
    """A straight line is drawn straight, from the lower left to the upper right."""
    drawn = curve(lambda x: 2 * x, low=0.0, high=1.0, across="", up="", title="")
    points = re.findall(r'd="(M[^"]*)"', drawn)[1]
    places = [tuple(map(float, one.split())) for one in points[1:].split("L")]
    slopes = {round((b[1] - a[1]) / (b[0] - a[0]), 1) for a, b in pairwise(places)}
    assert len(slopes) == 1
    assert slopes.pop() < 0


def test_a_broken_link_stops_the_work(tmp_path: Path) -> None:
    """A link to a page or a heading that is not there is named, and no site is made."""
    (tmp_path / "README.md").write_text("# One\n\n[a](gone.md) [b](#nowhere) [c](#one)\n", encoding="utf-8")
    with pytest.raises(BrokenLinksError, match=r"gone\.md\n.*#nowhere"):
        make_site(tmp_path / "out", root=tmp_path)
    assert not (tmp_path / "out").exists()

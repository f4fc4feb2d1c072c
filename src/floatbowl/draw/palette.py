"""Colours of the three papers: paper, sun and lamp, and how they reach page and picture.

Every colour is a CSS variable, so that one picture serves all themes. No
meaning hangs on a colour alone: patterns, letters, dashes and words carry it.
"""

from __future__ import annotations

from typing import Literal

Theme = Literal["paper", "sun", "lamp"]

PAPER: dict[str, str] = {
    "paper": "#FBF8F1",
    "card": "#FFFDF9",
    "ink": "#18242E",
    "pencil": "#3B4650",
    "rule": "#CFC8B8",
    "band": "#E9E3D3",
    "bore": "#F1F6F8",
    "metal": "#E3DFD3",
    "steel": "#CDD5DC",
    "brass": "#E6C66E",
    "brass-line": "#5E4300",
    "fuel": "#F3BE58",
    "fuel-line": "#8A5200",
    "air": "#18588A",
    "pilot-field": "#B3CFEE",
    "pilot-line": "#1F5FA8",
    "cutaway-field": "#F1F6F0",
    "cutaway-line": "#3E8578",
    "needle-field": "#F3CFA0",
    "needle-line": "#B9530F",
    "main-field": "#2E2140",
    "main-line": "#2E2140",
    "main-text": "#FFFDF9",
    "fit": "#1D5B8F",
    "position": "#B0124A",
    "care": "#FBF1D9",
    "tag": "#F5E3BC",
    "act": "#18242E",
    "act-text": "#FFFDF9",
    "focus": "#1D5B8F",
}
"""The default: warm paper and dark ink."""

SUN: dict[str, str] = {
    **dict.fromkeys(PAPER, "#FFFFFF"),
    "ink": "#000000",
    "pencil": "#000000",
    "rule": "#000000",
    "band": "#E4E4E4",
    "metal": "#F2F2F2",
    "steel": "#DDDDDD",
    "brass": "#F4F4F4",
    "brass-line": "#000000",
    "fuel": "#D0D0D0",
    "fuel-line": "#000000",
    "air": "#000000",
    "pilot-line": "#000000",
    "cutaway-line": "#000000",
    "needle-line": "#000000",
    "main-field": "#000000",
    "main-line": "#000000",
    "fit": "#00408A",
    "position": "#A00038",
    "act": "#000000",
    "focus": "#00408A",
}
"""Black on white for glaring light, lines half as thick again, no tints."""

LAMP: dict[str, str] = {
    "paper": "#14191D",
    "card": "#1B2227",
    "ink": "#EDE6D6",
    "pencil": "#C8C3B7",
    "rule": "#4B5358",
    "band": "#272E31",
    "bore": "#182026",
    "metal": "#2A2F31",
    "steel": "#343D44",
    "brass": "#544311",
    "brass-line": "#F1D98F",
    "fuel": "#5E410F",
    "fuel-line": "#F6C766",
    "air": "#7DBCE8",
    "pilot-field": "#1D3B5C",
    "pilot-line": "#7FB2F5",
    "cutaway-field": "#1C2B28",
    "cutaway-line": "#A6E8C4",
    "needle-field": "#55330F",
    "needle-line": "#F0A35C",
    "main-field": "#EFE3FF",
    "main-line": "#EFE3FF",
    "main-text": "#14191D",
    "fit": "#8CC4F5",
    "position": "#FF86A9",
    "care": "#332B17",
    "tag": "#3F3214",
    "act": "#EDE6D6",
    "act-text": "#14191D",
    "focus": "#8CC4F5",
}
"""Pale on dark, for a shed at night."""

PRINT: dict[str, str] = {
    **PAPER,
    **dict.fromkeys(("paper", "card"), "#FFFFFF"),
    "bore": "#EFF5F8",
    "band": "#E6DFCE",
}
"""For the press: the paper is white already, and costs no ink."""

THEMES: dict[Theme, dict[str, str]] = {"paper": PAPER, "sun": SUN, "lamp": LAMP}


def variables(theme: Theme) -> str:
    """Write a theme's colours as CSS declarations, with the thickness of its lines."""
    thick = 1.5 if theme == "sun" else 1.0
    scheme = "dark" if theme == "lamp" else "light"
    colours = "".join(f"--{name}:{value};" for name, value in THEMES[theme].items())
    return f"color-scheme:{scheme};--thick:{thick:g};{colours}"


def theme_css() -> str:
    """Write all themes: paper unless the page's ``data-theme`` or the system asks for another one."""
    by_choice = "".join(f':root[data-theme="{theme}"]{{{variables(theme)}}}' for theme in THEMES)
    by_system = (
        f"@media (prefers-color-scheme:dark){{:root:not([data-theme]){{{variables('lamp')}}}}}"
        f"@media (prefers-contrast:more){{:root:not([data-theme]){{{variables('sun')}}}}}"
    )
    return f":root{{{variables('paper')}}}{by_system}{by_choice}"

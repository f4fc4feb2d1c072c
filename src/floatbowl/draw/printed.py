"""A picture for the press: plain colours and widths where the page has variables, its type by its own name.

The press reads style sheets, but neither variables nor sums in them; so what a
page would work out is worked out here, and only the rules that this picture
uses come along. There is no ground: the paper is the ground.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from floatbowl.draw.palette import PRINT
from floatbowl.draw.style import pattern_defs, picture_css
from floatbowl.draw.svg import Svg, element, plain

_TYPE = {"Label": "Barlow", "Text": "Atkinson Hyperlegible Next"}
"""What the page calls its type, and what the press does."""

_VARIABLE = re.compile(r"var\(--([a-z-]+)\)")
_SUM = re.compile(r"calc\(([\d.]+)px\*([\d.]+)\)")
_RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
_CLASS = re.compile(r"\.([a-zA-Z][\w-]*)")
_FONT = re.compile(r"font-family:([A-Za-z]+)[^;}]*")
_PATTERNED = re.compile(r'<(\w+)([^<>]*) fill="url\(#pat-(pilot|cutaway|needle|main)\)"([^<>]*)/>')
_GROUND = re.compile(r'<rect[^<>]*class="pat-ground-[a-z]+"/>')
_MOVING = re.compile(r' data-(?:shut|full|table|sets|decimals|unit|rise|part|label)="[^"]*"')


def printed(picture: Svg, *, thick: float = 1.0) -> Svg:
    """Put inks and patterns into a picture for the press; ``thick`` is the factor on its lines."""
    bare = _PATTERNED.sub(_on_ground, _MOVING.sub("", picture))
    opening, rest = bare.split(">", 1)
    defs = _GROUND.sub("", pattern_defs())
    used = frozenset(re.findall(r"[\w-]+", " ".join(re.findall(r'class="([^"]*)"', bare + defs))))
    sheet = "".join(_rules(picture_css(), used, thick=thick))
    return Svg(f"{opening}>{element('style', Svg(sheet))}{defs}{rest}")


def _on_ground(found: re.Match[str]) -> str:
    """Lay a field's ground under its pattern as one piece: printed tile by tile it would show its joints."""
    tag, before, part, behind = found.groups()
    ground = f'<{tag}{before} fill="{PRINT[f"{part}-field"]}"{behind}/>'
    return ground if part == "main" else f"{ground}{found[0]}"


def _rules(sheet: str, used: frozenset[str], *, thick: float) -> Iterator[str]:
    """Give the rules whose classes the picture has, worked out; what moves or asks the screen is left out."""
    for selector, body in _RULE.findall(re.sub(r"@[^{]*\{(?:[^{}]*\{[^{}]*\})*[^{}]*\}", "", sheet)):
        kept = [one for one in selector.split(",") if _is_used(one, used)]
        if kept:
            yield f"{','.join(kept)}{{{_worked_out(body, thick=thick)}}}"


def _is_used(selector: str, used: frozenset[str]) -> bool:
    return set(_CLASS.findall(selector)) <= used and ":" not in selector


def _worked_out(body: str, *, thick: float) -> str:
    inks = {**PRINT, "thick": plain(thick)}
    told = _VARIABLE.sub(lambda found: inks[found[1]], body)
    told = _SUM.sub(lambda found: f"{plain(float(found[1]) * float(found[2]))}px", told)
    return _FONT.sub(_family, told)


def _family(found: re.Match[str]) -> str:
    narrow = ";font-stretch:condensed" if found[1] == "Label" else ""
    return f"font-family:'{_TYPE[found[1]]}'{narrow}"

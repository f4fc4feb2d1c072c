"""SVG written as text: every picture is a pure function to an ``Svg``.

What a person typed reaches a picture as plain ``str`` and is escaped here, so a
bike named with markup stays a name.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape, unescape


class Svg(str):
    """Markup that may stand on a page as it is; a template takes it without escaping it again."""

    __slots__ = ()

    def __html__(self) -> str:
        """Give the markup itself: the sign by which templates know that it is safe."""
        return str(self)


Inside = str | Svg
Attribute = str | float | None


def element(tag: str, *inside: Inside, **attributes: Attribute) -> Svg:
    """Write an element; text inside is escaped, ``Svg`` inside is not.

    A trailing underscore of an attribute's name is dropped (``class_``), others
    become hyphens (``stroke_width``). None leaves an attribute out. Numbers are
    written to a hundredth.

    >>> element("g", element("path", d="M0 0"), "a < b", class_="ink", stroke_width=1.50)
    '<g class="ink" stroke-width="1.5"><path d="M0 0"/>a &lt; b</g>'
    """
    written = "".join(
        f' {name.rstrip("_").replace("_", "-")}="{escape(plain(value))}"'
        for name, value in attributes.items()
        if value is not None
    )
    body = "".join(joined(inside))
    return Svg(f"<{tag}{written}>{body}</{tag}>" if body else f"<{tag}{written}/>")


def joined(parts: Iterable[Inside]) -> Svg:
    """Put parts one after the other, escaping what is plain text."""
    return Svg("".join(part if isinstance(part, Svg) else escape(part, quote=False) for part in parts))


def plain(value: str | float) -> str:
    """Write a number to a hundredth without trailing noughts; text as it is.

    >>> plain(2.50), plain(-0.001), plain("12"), plain(7.0)
    ('2.5', '0', '12', '7')
    """
    if isinstance(value, str):
        return value
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


Point = tuple[float, float]


def line_path(points: Sequence[Point], *, is_closed: bool = False) -> str:
    """Write straight lines through points as the ``d`` of a path.

    >>> line_path([(0, 0), (1.25, 2)], is_closed=True)
    'M0 0L1.25 2Z'
    """
    places = [f"{plain(float(x))} {plain(float(y))}" for x, y in points]
    return f"M{'L'.join(places)}{'Z' if is_closed else ''}"


def picture(
    *inside: Inside,
    view: tuple[float, float, float, float],
    title: str,
    described: str = "",
    **extra: Attribute,
) -> Svg:
    """Write a whole picture with its title and description for those who do not see it.

    ``view`` is the view box: left, top, width, height.
    """
    told = [element("title", title)]
    if described:
        told.append(element("desc", described))
    box = " ".join(plain(float(side)) for side in view)
    label = f"{title}. {described}" if described else title
    return element(
        "svg",
        *told,
        *inside,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=box,
        role="img",
        aria_label=label,
        **extra,
    )


def told_of(drawing: Svg) -> str:
    """Give what a picture tells those who do not see it.

    >>> told_of(picture(view=(0, 0, 1, 1), title="A < B", described="Side by side."))
    'A < B. Side by side.'
    """
    return unescape(drawing.split('aria-label="', 1)[1].split('"', 1)[0])

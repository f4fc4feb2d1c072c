"""Addresses of the pages: a bike's name as it stands in one, and back."""

from __future__ import annotations

from urllib.parse import quote

_SIGNS = (("~", "~0"), ("/", "~1"), ("\\", "~2"))
"""What would break an address apart, and what stands for it; the tilde first."""
_TAKEN = ("new", ".", "..")
"""Names that mean something else in an address; a tilde behind them says that they are bikes."""


def bike_address(name: str) -> str:
    """Give the address of a bike's bench.

    >>> bike_address("Magpie"), bike_address("Old 1/2 Otter"), bike_address("New")
    ('/bikes/magpie', '/bikes/old%201~12%20otter', '/bikes/new~')
    """
    key = name.casefold()
    for sign, stands_for in _SIGNS:
        key = key.replace(sign, stands_for)
    return f"/bikes/{quote(f'{key}~' if key in _TAKEN else key, safe='~')}"


def bike_of(key: str) -> str:
    """Give the name that stands in an address, as far as its letters go: without its capitals.

    >>> bike_of("old 1~12 otter"), bike_of("new~")
    ('old 1/2 otter', 'new')
    """
    name = key.removesuffix("~")
    for sign, stands_for in reversed(_SIGNS):
        name = name.replace(stands_for, sign)
    return name

"""A count of the twenty in words."""

from __future__ import annotations

from floatbowl.belief.belief import OF


def tally_words(count: int, of_what: str = "") -> str:
    """Read a tally as one number: ``13 in 20``, or ``air leak, 13 in 20``.

    >>> tally_words(13), tally_words(4, "still short")
    ('13 in 20', 'still short, 4 in 20')
    """
    told = f"{count} in {OF}"
    return f"{of_what}, {told}" if of_what else told

"""What a page says while it is being thought."""

from __future__ import annotations

_MINUTE = 60.0
_HOUR = 60.0 * _MINUTE


def stale_words(age: float) -> str:
    """Say that what stands here does not yet take in the last entry; ``age`` is in seconds.

    >>> stale_words(12.3)
    'This is from before your last entry, worked out 12 seconds ago. Thinking about it now.'
    """
    return f"This is from before your last entry, worked out {_ago(age)}. Thinking about it now."


def thinking_words(bike: str) -> str:
    """Say that a bike is being thought about for the first time."""
    return f"Thinking about {bike}. The first time takes a few seconds."


def _ago(age: float) -> str:
    for size, unit in ((_HOUR, "hour"), (_MINUTE, "minute"), (1.0, "second")):
        count = int(age / size)
        if count:
            return f"{count} {unit}{'s' if count > 1 else ''} ago"
    return "a moment ago"

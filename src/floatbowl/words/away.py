"""What a page says by itself when the garage does not answer: the script finds these words in the page."""

from __future__ import annotations

AWAY: dict[str, str] = {
    "kept": "Not saved yet: the garage is away. Kept here, sent when it is back.",
    "lost": "Not saved: the garage is away, and this cannot be kept here. Enter it again when it is back.",
    "away": "The garage is away. Nothing was lost; try again when it is back.",
    "door": "Not saved yet: the garage asks for its door code. Open it, then what is kept here is sent.",
    "sent": "The garage is back. What was kept here is saved.",
    "refused": "The garage is back, but did not take this:",
    "waiting": "waiting to be sent:",
    "slide": "Slide",
}
"""By the name under which the script asks for it."""

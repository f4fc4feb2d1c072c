"""Settings: what was chosen for this screen, what the garage has set for itself, and a copy of it all."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.web.asked import Asked
from floatbowl.web.device import TEXT_SIZES, THEMES
from floatbowl.web.page import act, page
from floatbowl.words import on_forms
from floatbowl.words.on_page import without_command
from floatbowl.words.settings import backup_words
from floatbowl.words.trouble import NotUnderstoodError

YEAR = 365 * 24 * 3600
"""Seconds for which a browser keeps what was chosen for its screen."""
_UNIT_LABELS = (("metric", "°C, hPa, metres"), ("imperial", "°F, inHg, feet"))
_THEME_LABELS = {"": "As the system has it", "paper": "Paper", "sun": "Sun", "lamp": "Lamp"}


def show(asked: Asked) -> Response:
    """Show what is set."""
    return _show(asked, "")


def _show(asked: Asked, copied: str) -> Response:
    garage = asked.garage
    return asked.page(
        "settings.html",
        themes=[(theme, _THEME_LABELS[theme]) for theme in ("", *THEMES)],
        sizes=[(size, f"{size} %") for size in TEXT_SIZES],
        units=_UNIT_LABELS,
        places=garage.places(),
        settings=garage.settings(),
        copied=copied,
        is_at_the_machine=asked.is_at_the_machine,
        words=on_forms,
    )


def take_screen(asked: Asked) -> Response:
    """Keep what was chosen for this screen, in the browser."""
    answer = asked.go("/settings")
    for name, known in (("theme", THEMES), ("text", TEXT_SIZES)):
        chosen = asked.field(name)
        if chosen in known:
            answer.set_cookie(name, chosen, max_age=YEAR, path="/", samesite="strict", httponly=True)
        elif name in asked.form:
            answer.delete_cookie(name, path="/", samesite="strict", httponly=True)
    return answer


def take(asked: Asked) -> Response:
    """Write down what the garage has set; only what differs becomes an entry."""
    if "backup_folder" in asked.form:
        _refuse_from_afar(asked)
    for key in ("units", "home_place", "backup_folder"):
        if key in asked.form:
            asked.garage.set_setting(key, asked.field(key))
    return asked.go("/settings")


def take_copy(asked: Asked) -> Response:
    """Copy the whole record, and say where the copy lies."""
    _refuse_from_afar(asked)
    if asked.garage.only_read_because:
        raise NotUnderstoodError(asked.garage.only_read_because)
    return _show(asked, without_command(backup_words(asked.garage.backup())))


def _refuse_from_afar(asked: Asked) -> None:
    """Let nobody reach into the machine's folders who does not sit there, door code or not."""
    if not asked.is_at_the_machine:
        raise NotUnderstoodError(on_forms.AT_THE_MACHINE)


routes: list[Route] = [
    page("/settings", show, take=take),
    act("/settings/screen", take_screen, back=show),
    act("/settings/copy", take_copy, back=show),
]

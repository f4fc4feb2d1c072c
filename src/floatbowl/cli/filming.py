"""Makes a film: a picture that moves by itself, or a video file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from floatbowl.cli.asking import paragraph, working
from floatbowl.cli.door import Desk
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from floatbowl.draw.film import Scene
    from floatbowl.jobs import Garage

WIDE = {1: 720, 2: 1280}
"""Dots across a video file, by how many setups stand in it."""
KINDS = (".svg", ".mp4", ".webm")


def film(desk: Desk, bike: str, file: Path, *, other: int | None) -> None:
    """Write a film of a bike; ``other`` is a setup that stands beside the fitted one."""
    from floatbowl.draw.film import SECONDS, shares
    from floatbowl.words import film as words

    kind = file.suffix.casefold()
    if kind not in KINDS:
        text = f'"{file}" is no film we can make. Let its name end in {", ".join(KINDS[:-1])} or {KINDS[-1]}.'
        raise NotUnderstoodError(text)
    with desk.garage() as garage, working(f"Filming {bike}"):
        scenes = _scenes(garage, bike, other)
        if kind == ".svg":
            _write_picture(scenes, file)
        else:
            _write_video(scenes, file)
    told = words.film_told([(scene.belief, scene.setup) for scene in scenes])
    sentence = words.film_words(str(file), seconds=SECONDS)
    form = words.film_form(
        str(file),
        bike=scenes[0].belief.bike.name,
        setups=[scene.setup.number for scene in scenes],
        frames=len(shares()),
        told=told,
    )
    desk.answer(form, [*paragraph(sentence, desk, "head"), *paragraph(told, desk)])


def _scenes(garage: Garage, bike: str, other: int | None) -> list[Scene]:
    from floatbowl.draw.film import Scene

    belief = garage.look_at_bench(bike)
    fitted = Scene(belief=belief, setup=belief.setup, say=belief.say)
    if other is None:
        return [fitted]
    tried = garage.sides(bike, belief.setup.number, other).second
    return [fitted, Scene(belief=belief, setup=tried.setup, say=tried.say)]


def _write_picture(scenes: list[Scene], file: Path) -> None:
    from floatbowl.draw.alone import alone
    from floatbowl.draw.film import animated

    file.write_text(alone(animated(scenes)), encoding="utf-8")


def _write_video(scenes: list[Scene], file: Path) -> None:
    """Set every opening once, and show it in each frame that stands at it."""
    from floatbowl.draw.film import RATE, film_frame, shares
    from floatbowl.jobs import keep_film
    from floatbowl.paper.frames import frames

    openings = sorted(set(shares()))
    drawn = frames([film_frame(scenes, share) for share in openings], width=WIDE[len(scenes)])
    made = dict(zip(openings, drawn, strict=True))
    keep_film(file, (made[share] for share in shares()), rate=RATE)

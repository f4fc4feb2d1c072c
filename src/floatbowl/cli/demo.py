"""The demo: three invented bikes in a throw-away shed, the same for everybody."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from floatbowl.cli.asking import headed, paragraph, thought_about
from floatbowl.cli.door import JSON, Desk, job
from floatbowl.cli.paper import BLANK, Line, text_line

if TYPE_CHECKING:
    from floatbowl.jobs import Stand


@job("demo", options=(JSON,))
@click.option(
    "--keep",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE",
    help="Keep the shed in this file.",
)
def demo(desk: Desk, *, keep: Path | None) -> None:
    """Show three invented bikes: one set wrong, one broken, one right."""
    from floatbowl.cli import pictures
    from floatbowl.jobs import Stand, open_demo
    from floatbowl.words.air import air_line
    from floatbowl.words.garage import demo_form

    stands = []
    with open_demo(keep) as garage:
        day = garage.air()
        desk.say([*paragraph(air_line(day), desk, "faint"), BLANK])
        for stand in thought_about(garage):
            if isinstance(stand, Stand):
                stands.append(stand)
                desk.say(_stand_lines(stand, desk))
    lines = [*pictures.legend(desk.paper), BLANK, *map(text_line, _how_to_go_on(keep))]
    desk.answer(demo_form(stands, day=day, kept=str(keep) if keep else None), lines)


def _stand_lines(stand: Stand, desk: Desk) -> list[Line]:
    from floatbowl.cli import pictures
    from floatbowl.words.bench import bike_sentence, ladder
    from floatbowl.words.card import card

    told = card(stand.advice, bike=stand.bike, trials=stand.trials)
    return [
        *headed(stand.bike.name, stand.bike.what, desk),
        *paragraph(bike_sentence(stand.belief, stand.trials), desk),
        BLANK,
        *pictures.ladder(ladder(stand.belief, stand.trials), desk.paper),
        BLANK,
        *pictures.card_picture(told, bike=stand.bike.name, paper=desk.paper),
        BLANK,
    ]


def _how_to_go_on(keep: Path | None) -> list[str]:
    """Say what to try next: in the kept shed, or how to keep one."""
    if keep is None:
        return ["To play on with the three, keep the shed:", "  floatbowl demo --keep demo.garage"]
    garage = f"--garage {keep}"
    return [
        f"The shed is kept in {keep}. Go on, for example:",
        f"  floatbowl fitted magpie clip=3 {garage}",
        f"  floatbowl said magpie 1/4 clean --snap {garage}",
        f"  floatbowl next magpie {garage}",
    ]

"""The demo: three invented bikes in a throw-away shed, the same for everybody."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from floatbowl.cli.asking import headed, paragraph, thought_about
from floatbowl.cli.door import JSON, Desk, job
from floatbowl.cli.opening import LAN, NO_BROWSER, PORT, Doors, open_doors
from floatbowl.cli.paper import BLANK, Line, text_line

if TYPE_CHECKING:
    from floatbowl.jobs import Garage, Stand


@job("demo", options=(JSON,))
@click.option(
    "--keep",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE",
    help="Keep the shed in this file.",
)
@click.option("--terminal", "is_terminal", is_flag=True, help="Show it here, not in the browser.")
@LAN
@PORT
@NO_BROWSER
def demo(  # noqa: PLR0913  (each option)
    desk: Desk, *, keep: Path | None, is_terminal: bool, is_lan: bool, port: int | None, is_quiet: bool
) -> None:
    """Show three invented bikes: one set wrong, one broken, one right.

    They stand in the browser until Ctrl-C; with --terminal or --json they are shown here.
    """
    if is_terminal or desk.is_json:
        _show_here(desk, keep)
    else:
        with _a_shed(keep) as shed:
            _open(shed, desk, Doors(is_lan=is_lan, port=port, is_quiet=is_quiet))


@contextmanager
def _a_shed(keep: Path | None) -> Iterator[Path]:
    """Set the shed out in the file named, or in one that is thrown away, and give the file."""
    import tempfile

    from floatbowl.jobs import open_demo

    with tempfile.TemporaryDirectory(prefix="floatbowl-") as folder:
        shed = keep or Path(folder) / "demo.garage"
        with open_demo(shed):
            pass
        yield shed


def _open(shed: Path, desk: Desk, doors: Doors) -> None:
    from floatbowl.jobs import reopen_demo

    def one_visit(*, once: str = "") -> Garage:
        return reopen_demo(shed, once=once)

    open_doors(one_visit, desk, doors, what="demo's garage")


def _show_here(desk: Desk, keep: Path | None) -> None:
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

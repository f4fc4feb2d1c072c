"""The door itself: how commands are declared, where the garage lies, and how every trouble is told.

Nothing here loads the sums, so that ``floatbowl --help`` is quick.
"""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from floatbowl import __version__
from floatbowl.cli.paper import Line, Paper, paper_here, tell
from floatbowl.cli.place import default_garage

if TYPE_CHECKING:
    from floatbowl.jobs import Garage

GARAGE_NAME = "FLOATBOWL_GARAGE"

STOPPED = 130
"""The exit code of a job that a person stopped, as shells have it."""

ORDER = (
    "demo",
    "open",
    "garage",
    "add",
    "check",
    "export",
    "guide",
    "strip",
    "fitted",
    "drawer",
    "air",
    "said",
    "measured",
    "ear",
    "looked",
    "mended",
    "bench",
    "draw",
    "next",
    "dryfit",
    "sides",
    "carry",
    "day",
    "rollons",
    "prove",
    "card",
    "chart",
    "takealong",
    "log",
    "undo",
    "backup",
    "doctor",
)
"""Commands in the order of an evening."""


@dataclass(frozen=True, slots=True)
class Desk:
    """Where the garage lies and how answers are given."""

    place: Path
    is_json: bool
    paper: Paper

    @contextmanager
    def garage(self) -> Iterator[Garage]:
        """Open the garage for one job. The first job of a day that is done leaves a spare copy behind."""
        from floatbowl.jobs import RecordTrouble, open_garage

        self.place.parent.mkdir(parents=True, exist_ok=True)
        with open_garage(self.place) as garage:
            yield garage
            with suppress(RecordTrouble):  # the job is done all the same; the doctor says what is missing
                garage.keep_spare()

    def say(self, lines: Iterable[Line]) -> None:
        """Show a person what is ready already; a program waits for the whole answer."""
        if not self.is_json:
            self.paper.put(lines)

    def answer(self, form: dict[str, Any], lines: Iterable[Line]) -> None:
        """Give the answer, for a person or for a program."""
        if self.is_json:
            put_json(form)
        else:
            self.paper.put(lines)


def put_json(form: dict[str, Any]) -> None:
    """Write a form; beyond ASCII it is escaped, so that it survives every pipe and terminal."""
    import json

    click.echo(json.dumps(form, indent=2, allow_nan=False))


class Door(click.Group):
    """The command line: lists its commands in the order of an evening and tells troubles calmly."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002  (click's own signature)
        """List the commands in the order of an evening."""
        return [name for name in ORDER if name in self.commands]

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, or offer the one most like what was written."""
        name = args[0] if args else ""
        if name and not name.startswith("-") and name not in self.commands:
            from floatbowl.words.trouble import NotUnderstoodError, not_known

            raise NotUnderstoodError(not_known(name, what="a command", known=ORDER))
        return super().resolve_command(ctx, args)

    def main(self, args: Any = None, prog_name: str | None = None, **extra: Any) -> NoReturn:  # type: ignore[override]  # noqa: ANN401  (click's own signature)
        """Do what the words ask; tell trouble as a sentence and end with its code."""
        words = list(sys.argv[1:] if args is None else args)
        extra["standalone_mode"] = False
        sys.exit(_told(lambda: super(Door, self).main(words, prog_name or "floatbowl", **extra), words))


class Signed(click.Command):
    """A command among whose words a number may stand below nothing."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Write the sign of such a number as a true minus, which click takes for no option."""
        return super().parse_args(ctx, [re.sub(r"^-(?=[0-9.,])", "\N{MINUS SIGN}", word) for word in args])


def _told(do: Callable[[], Any], words: list[str]) -> int:
    """Do it, and give the exit code; a trouble is told first."""
    try:
        do()
    except (KeyboardInterrupt, click.Abort, EOFError):
        tell("Stopped. What was saved before is still there.")
        return STOPPED
    except Exception as trouble:  # noqa: BLE001  (whatever it is, a person gets a sentence, never a traceback)
        return _tell_trouble(trouble, is_json="--json" in words)
    return 0


def _tell_trouble(trouble: Exception, *, is_json: bool) -> int:
    from floatbowl.cli.troubles import TRACE_NAME, told

    if os.environ.get(TRACE_NAME):
        raise trouble
    sentence, code, missing = told(trouble)
    if is_json:
        from floatbowl.words.forms import trouble_form

        put_json(trouble_form(sentence, exit_code=code, missing=missing))
    else:
        tell(sentence)
    return code


@click.group(
    "floatbowl",
    cls=Door,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="floatbowl", message="%(prog)s %(version)s")
@click.pass_context
def door(ctx: click.Context) -> None:
    """Find what is wrong with a small carburetted bike, and what to do next.

    See three bikes first: floatbowl demo. With your own: add FILE, said, next.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


JSON = click.option("--json", "is_json", is_flag=True, help="Answer as JSON, for another program.")
GARAGE = click.option(
    "--garage",
    "garage_file",
    type=click.Path(dir_okay=False, path_type=Path),
    envvar=GARAGE_NAME,
    metavar="FILE",
    help=f"The garage's file; else {GARAGE_NAME}, else the usual place.",
)

Option = Callable[[Any], Any]


def job(
    name: str, *, options: tuple[Option, ...] = (JSON, GARAGE), has_signed_numbers: bool = False
) -> Callable[[Callable[..., None]], click.Command]:
    """Declare a command: every one can answer in JSON, and most can be pointed at a garage.

    ``has_signed_numbers`` lets ``-1.5`` among its words be a number and no option.
    """

    def declare(work: Callable[..., None]) -> click.Command:
        def run(*, is_json: bool, garage_file: Path | None = None, **words: Any) -> None:  # noqa: ANN401  (what click hands over)
            work(Desk(place=garage_file or default_garage(), is_json=is_json, paper=paper_here()), **words)

        run.__doc__ = work.__doc__
        for option in options:
            run = option(run)
        run.__click_params__ += getattr(work, "__click_params__", ())  # type: ignore[attr-defined]
        return door.command(name, cls=Signed if has_signed_numbers else click.Command)(run)

    return declare

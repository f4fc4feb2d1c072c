"""Whatever is done in whatever order, the record tells what a plain list kept beside it tells.

A small share runs always; set FLOATBOWL_FUZZ to a number of evenings for a longer run.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as some
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from floatbowl.record import rescue, spares
from floatbowl.record.bike_file import read_bike_file
from floatbowl.record.store import Record
from tests.record.files import MAGPIE, NOW

EVENINGS = int(os.environ.get("FLOATBOWL_FUZZ", "12"))
UIDS = some.integers(0, 5).map(lambda number: f"tap {number}")


class Garage(RuleBasedStateMachine):
    """Two programs with one record open, and beside it a list of what must be in it."""

    def __init__(self) -> None:
        """Begin with no record."""
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.place = self.folder / "home.garage"
        self.day = 0
        self.said: list[tuple[str, bool]] = []
        """What was said, oldest first, and whether it was struck out."""
        self.sent: set[str] = set()

    @initialize()
    def begin(self) -> None:
        """Put Magpie on a stand and open the record twice."""
        self.programs = [Record.open(self.place), Record.open(self.place)]
        file = read_bike_file(MAGPIE, source_name="magpie.toml")
        self.programs[0].add_bike(replace(file, trials=()), now=NOW)

    @rule(who=some.integers(0, 1), did=some.sampled_from(["bogs", "flat", "surges"]), uid=some.none() | UIDS)
    def say(self, who: int, did: str, uid: str | None) -> None:
        """Say something; under a name that was used before it stands once."""
        self.programs[who].say("magpie", {"did": did}, now=NOW, uid=uid)
        if uid is None or uid not in self.sent:
            self.said.append((did, False))
        self.sent |= {uid} if uid else set()

    @precondition(lambda self: any(not is_struck for _, is_struck in self.said))
    @rule(who=some.integers(0, 1))
    def undo(self, who: int) -> None:
        """Take the last remark back."""
        self.programs[who].undo("magpie", now=NOW)
        last = max(k for k, (_, is_struck) in enumerate(self.said) if not is_struck)
        self.said[last] = (self.said[last][0], True)

    @precondition(lambda self: self.said)
    @rule(who=some.integers(0, 1), data=some.data())
    def strike(self, who: int, data: some.DataObject) -> None:
        """Strike any remark out, or bring it back."""
        record = self.programs[who]
        k = data.draw(some.integers(0, len(self.said) - 1))
        line = [line for line in record.log("magpie") if line.kind == "remark"][k]
        if line.struck:
            strikes = [one for one in record.log("magpie") if one.facts.get("strikes") == line.id]
            record.strike(next(one.id for one in strikes if not one.struck), now=NOW)
        else:
            record.strike(line.id, now=NOW)
        self.said[k] = (self.said[k][0], not line.struck)

    @rule(who=some.integers(0, 1))
    def open_again(self, who: int) -> None:
        """End one of the programs and start it again."""
        self.programs[who].close()
        self.programs[who] = Record.open(self.place)

    @rule()
    def next_day(self) -> None:
        """Let a day pass: there is a copy, and the newest one holds no more than the record."""
        self.day += 1
        self.programs[0].keep_spare(now=NOW + timedelta(days=self.day))
        assert spares.spares(self.place)[-1].entries <= len(self.programs[0].log())

    @rule()
    def out_and_back(self) -> None:
        """Write all out and read it into an empty record: equal."""
        folder = Path(tempfile.mkdtemp(dir=self.folder))
        self.programs[0].write_out(folder / "out", say=lambda line: line.kind)
        with Record.open(folder / "back.garage") as back:
            back.read_in(folder / "out", now=NOW)
            assert back.log() == self.programs[1].log()
            assert back.trials("magpie") == self.programs[1].trials("magpie")

    @rule()
    def rescue(self) -> None:
        """Save it page by page, as if it were damaged, while it is in use: equal, and nothing lost."""
        new = Path(tempfile.mkdtemp(dir=self.folder)) / "new.garage"
        saved = rescue.rescue(self.place, new)
        assert (saved.lost, saved.from_copies, saved.stood_in, saved.leaning) == ((), (), (), ())
        with Record.open(new) as record:
            assert record.log() == self.programs[0].log()

    @invariant()
    def it_tells_what_was_said(self) -> None:
        """Both programs tell all that was said, struck or not, in order."""
        for record in getattr(self, "programs", ()):
            lines = [line for line in record.log("magpie") if line.kind == "remark"]
            assert [(line.facts["did"], line.struck) for line in lines] == self.said
            living = [did for did, is_struck in self.said if not is_struck]
            assert [one.did for trial in record.trials("magpie") for one in trial.remarks] == living

    def teardown(self) -> None:
        """Let all go."""
        for record in getattr(self, "programs", ()):
            record.close()
        shutil.rmtree(self.folder)


TestGarage = Garage.TestCase
TestGarage.settings = settings(
    max_examples=EVENINGS, stateful_step_count=25, deadline=None, suppress_health_check=list(HealthCheck)
)

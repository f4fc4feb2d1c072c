"""Bikes and garages written out as the text files they are read from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from floatbowl.record.bike_file import FORM, UNKNOWN, BikeFile, read_bike_file
from floatbowl.record.fields import CARB_BORE, CYLINDER_BORE, STROKE, SWEPT
from floatbowl.record.garage_file import GarageFile, garage_written, read_garage_file
from floatbowl.record.mends import mended_after
from floatbowl.record.setup_file import setup_written
from floatbowl.record.toml_write import write_fresh, write_into
from floatbowl.record.trial_file import day_written, reading_written, remark_written
from floatbowl.record.trouble import BikeFileTrouble, GarageFileTrouble
from floatbowl.signs.trial import Trial


def write_bike_file(file: BikeFile) -> str:
    """Write a bike out as text: into the text it came with, so that comments and unknown keys stay.

    Only what somebody measured is written; what was assumed will be assumed again.
    """
    target = bike_written(file)
    try:
        base = bike_written(read_bike_file(file.text, source_name=file.source_name))
    except BikeFileTrouble:  # there is no such text, or it tells something this floatbowl no longer takes
        return write_fresh(target)
    return write_into(file.text, base=base, target=target)


def write_garage_file(file: GarageFile) -> str:
    """Write drawer and places out as text, into the text they came with."""
    target = garage_written(file)
    try:
        base = garage_written(read_garage_file(file.text, source_name=file.source_name))
    except GarageFileTrouble:
        return write_fresh(target)
    return write_into(file.text, base=base, target=target) if file.text else write_fresh(target)


def bike_written(file: BikeFile) -> dict[str, Any]:
    """Give a bike file as plain data, under the names and in the units of the file."""
    setups = [setup_written(setup) for setup in file.earlier_setups]
    trials = _Trials(file).written()
    return {
        "form": FORM,
        "name": file.name,
        **({"what": file.what} if file.what else {}),
        **({"story": sorted(file.story)} if file.story else {}),
        "engine": {**({} if _is_sized(file.engine) else {SWEPT.key: UNKNOWN}), **file.engine},
        "carb": {CARB_BORE.key: UNKNOWN, **file.carb},
        **({"fuel": dict(file.fuel)} if file.fuel else {}),
        **({"earlier_setup": setups} if setups else {}),
        "setup": setup_written(file.setup),
        **({"trial": trials} if trials else {}),
    }


def _is_sized(engine: Mapping[str, Any]) -> bool:
    return SWEPT.key in engine or {CYLINDER_BORE.key, STROKE.key} <= engine.keys()


class _Trials:
    """The trials of one bike, their entries counted as they will be counted when they are read again."""

    def __init__(self, file: BikeFile) -> None:
        self._file = file
        self._rides = 0
        self._readings = 0

    def written(self) -> list[dict[str, Any]]:
        """Give the trials as plain data."""
        trials = self._file.trials
        return [
            self._trial(trial, mended) for trial, mended in zip(trials, mended_after(trials), strict=True)
        ]

    def _trial(self, trial: Trial, mended: tuple[str, ...]) -> dict[str, Any]:
        setup = trial.setup.number
        said = [remark_written(remark, default_entry=self._ride()) for remark in trial.remarks]
        readings = [reading_written(reading, default_entry=self._reading()) for reading in trial.readings]
        return {
            **({} if setup == self._file.setup.number else {"setup": setup}),
            **day_written(trial.day),
            **({"said": said} if said else {}),
            **({"readings": readings} if readings else {}),
            **({"mended": list(mended)} if mended else {}),
        }

    def _ride(self) -> str:
        self._rides += 1
        return f"ride-{self._rides}"

    def _reading(self) -> str:
        self._readings += 1
        return f"reading-{self._readings}"

"""Compiles the kernels of the flow once, see ``belief.warm``."""

from __future__ import annotations

import numpy as np

from floatbowl.flow.balance import Part, Place, feed
from floatbowl.flow.engine import NODES, Case, breathe_cases


def main() -> None:
    """Run both kernels on one ordinary case; their compiled form is kept beside the source."""
    case = np.ones((1, len(Case)))
    ordinary = {
        Case.RPM: 3000.0,
        Case.AMBIENT_PRESSURE: 1e5,
        Case.AMBIENT_TEMPERATURE: 290.0,
        Case.GAS_CONSTANT: 287.0,
        Case.SLIDE_AREA: 1e-4,
        Case.LEAK_AREA: 0.0,
        Case.INLET_LENGTH: 0.12,
        Case.INLET_AREA: 5e-4,
        Case.PORT_VOLUME: 4e-5,
        Case.FILTER_LOSS: 0.0,
        Case.CHOKE_AREA: 0.0,
        Case.SWEPT_VOLUME: 1.2e-4,
        Case.ROD_TO_STROKE: 1.8,
        Case.COMPRESSION_RATIO: 10.0,
        Case.VALVE_DIAMETER: 0.027,
        Case.VALVE_LIFT: 0.007,
        Case.INLET_OPENS: 15.0,
        Case.INLET_SHUTS: 48.0,
        Case.KIND: 0.0,
    }
    for column, value in ordinary.items():
        case[0, column] = value
    flows = breathe_cases(case)[:, None, None, :NODES]
    feed(flows, np.full((1, 1, 1, len(Place)), 1e-6), np.full((1, len(Part)), 1e-6), np.full(1, 1e5))


if __name__ == "__main__":
    main()

"""Every pair of a main side with a pilot side, weighed; against plain sums over everything."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.random import Generator
from numpy.typing import NDArray

from floatbowl.belief.every import Price, weigh

Array = NDArray[np.float64]
Single = NDArray[np.float32]

PLACES = 5
PRICE = Price(
    worth=np.array([40.0, 36.0, 25.0, 60.0, 10.0]),
    band=np.array([0.05, 0.03, 0.06, 0.05, 0.10]),
    is_high=np.array([False, True, False, False, True]),
    floor=0.9,
)
"""Five places that all differ; the high ones are neither first nor side by side."""


def tables(rng: Generator, *, mains: int, pilots: int, draws: int) -> tuple[Single, Single]:
    """Give sides that add to about 1, some far off."""
    share = rng.uniform(0.1, 0.9, (1, PLACES, 1))
    main = share * np.exp(0.1 * rng.standard_normal((mains, PLACES, draws)))
    pilot = (1.0 - share) * np.exp(0.1 * rng.standard_normal((pilots, PLACES, draws)))
    return main.astype(np.float32), pilot.astype(np.float32)


def plainly(main: Single, pilot: Single, price: Price) -> tuple[Array, Array]:
    """Weigh every pair by broadcasting, in double precision."""
    fuel = main.astype(np.float64)[:, None] + pilot.astype(np.float64)[None, :]
    bands = np.abs(fuel - 1.0) / price.band[:, None]
    near = np.minimum(bands, 1.0)
    off = (price.worth[:, None] * near * (bands - 0.5 * near)).sum(axis=2).mean(axis=-1)
    far = (fuel[:, :, price.is_high] < price.floor).any(axis=2).mean(axis=-1)
    return off, far


@pytest.mark.parametrize("draws", [1, 20, 64, 65, 256, 300, 700])
def test_weighed_as_by_plain_sums(rng: Generator, draws: int) -> None:
    """However many draws fill the blocks, price and share far short are those of plain sums, to rounding."""
    main, pilot = tables(rng, mains=11, pilots=7, draws=draws)
    weighed = weigh(main, pilot, PRICE)
    off, far = plainly(main, pilot, PRICE)
    assert weighed.off == pytest.approx(off, rel=2e-5)
    assert weighed.far_short == pytest.approx(far, abs=1e-9)


def test_right_costs_nothing() -> None:
    """A pair that adds to 1 everywhere costs nothing and is nowhere short."""
    main = np.full((2, PLACES, 70), 0.75, dtype=np.float32)
    pilot = np.full((3, PLACES, 70), 0.25, dtype=np.float32)
    weighed = weigh(main, pilot, PRICE)
    assert not weighed.off.any()
    assert not weighed.far_short.any()


@given(st.floats(0.0, 0.5), st.floats(0.01, 0.5))
def test_further_off_costs_more(off: float, more: float) -> None:
    """On either side, further from right never costs less."""
    sizes = np.array([1.0 - off - more, 1.0 - off, 1.0 + off, 1.0 + off + more])
    main = np.tile(sizes[:, None, None], (1, PLACES, 1)).astype(np.float32)
    lean, less_lean, less_rich, rich = weigh(main, np.zeros_like(main[:1]), PRICE).off[:, 0]
    assert lean > less_lean
    assert rich > less_rich


def test_a_draw_short_at_two_places_counts_once() -> None:
    """Far short is counted by draw: at both high places or at one alike; elsewhere it is not."""
    main = np.ones((4, PLACES, 2), dtype=np.float32)
    main[1, 0, 0] = 0.5  # not a high place
    main[2, 1, 0] = 0.5
    main[3, [1, 4], 0] = 0.5
    far = weigh(main, np.zeros_like(main[:1]), PRICE).far_short[:, 0]
    assert far.tolist() == [0.0, 0.0, 0.5, 0.5]

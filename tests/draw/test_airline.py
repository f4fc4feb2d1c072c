"""How thick is the air: pins stand where their density is, names do not cross, doubt has a bar."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.bike.place import assume_day
from floatbowl.draw.airline import WIDE, Pin, airline, pin_of
from floatbowl.draw.marks import NARROW_LETTER_HEIGHT, words_width
from floatbowl.flow.air import density
from tests.draw.pictured import FORECAST, all_of, number, read

TODAY = Pin(words="now", density=1.03, is_today=True)


def test_thicker_air_stands_further_right() -> None:
    """Pins stand in the order of their density, as far apart as they differ."""
    pins = [Pin(words=f"{n}", density=1.0 + 0.02 * n) for n in range(4)]
    places = [number(one, "cx") for one in all_of(airline(pins), "circle")]
    steps = [right - left for left, right in itertools.pairwise(places)]
    assert steps == pytest.approx([steps[0]] * 3, abs=0.02)
    assert steps[0] > 0


def test_today_is_solid_and_a_forecast_has_a_bar() -> None:
    """Only today's pin is filled, and only the forecast's doubt is drawn, as wide as it is."""
    drawn = airline([TODAY, FORECAST])
    assert len(all_of(drawn, "circle", "air-today")) == len(all_of(drawn, "line", "air-doubt")) == 1
    bar = all_of(drawn, "line", "air-doubt")[0]
    pin = all_of(drawn, "circle", "air-pin")[0]
    assert number(bar, "x1") < number(pin, "cx") < number(bar, "x2")
    assert "16 in 20 between 1.10 and 1.14" in read(drawn).get("aria-label", "")


@pytest.mark.property
@given(st.lists(st.floats(0.85, 1.35), min_size=1, max_size=6))
def test_names_never_cross(densities: list[float]) -> None:
    """However the pins crowd, no two names share a line and a place, and none leaves the picture."""
    drawn = airline([Pin(words=f"place {n}", density=thick) for n, thick in enumerate(densities)])
    reach: dict[float, list[tuple[float, float]]] = {}
    for one in all_of(drawn, "text", "mk-halo"):
        left = number(one, "x")
        right = left + words_width(one.text or "", height=NARROW_LETTER_HEIGHT)
        assert left >= 0.0
        assert right <= WIDE + 0.01
        assert all(right <= other[0] or other[1] <= left for other in reach.get(number(one, "y"), []))
        reach.setdefault(number(one, "y"), []).append((left, right))


def test_a_day_s_pin_is_the_density_of_the_sums() -> None:
    """The pin of a day stands at the density that the flow works with."""
    day = assume_day("Tarn Hollow", height=1450.0)
    thick = density(day.pressure.value, temperature=day.temperature.value, humidity=day.humidity.value)
    assert pin_of(day, "now").density == thick

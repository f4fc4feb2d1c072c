"""The bench in one picture: cut-away and ladder share one lift and one system of coordinates."""

import pytest

from floatbowl.belief.belief import Belief
from floatbowl.draw.bench import bench_picture
from floatbowl.draw.svg import Svg
from floatbowl.jobs import open_demo
from floatbowl.words.bench import ladder
from tests.draw.pictured import all_of, number, numbers, read, texts

LIFT = 7.2


@pytest.fixture(scope="module")
def belief() -> Belief:
    """Give what is believed of Magpie."""
    with open_demo() as garage:
        return garage.look_at_bench("magpie")


@pytest.fixture(scope="module")
def drawn(belief: Belief) -> Svg:
    """Give Magpie's bench with the slide a quarter open or so."""
    return bench_picture(belief, ladder(belief), lift_mm=LIFT)


def test_the_ladder_enlarges_the_bore_of_the_cut_away(drawn: Svg) -> None:
    """The ladder's scale has the cut-away's floor and its units for a millimetre, at both stops."""
    cut = all_of(drawn, "svg", "cut")[0]
    floor, per_mm = number(cut, "data-floor"), number(cut, "data-scale")
    dashed = all_of(drawn, "path", "lad-projected")[0]
    for stop in ("shut", "full"):
        lift = number(cut, f"data-{stop}-lift")
        assert numbers(dashed.attrib[f"data-{stop}"])[3] == pytest.approx(floor - lift * per_mm, abs=0.02)


def test_one_lift_rules_the_whole_bench(drawn: Svg) -> None:
    """Slide and ladder say the same lift and the same stops, and the whole picture says them too."""
    cut, whole = all_of(drawn, "svg", "cut")[0], read(drawn)
    for name in ("data-lift", "data-shut-lift", "data-full-lift"):
        assert number(whole, name) == pytest.approx(number(cut, name), abs=0.006)
    shift = numbers(all_of(drawn, "g", "lad-crossing")[0].attrib["transform"])[1]
    rise = number(all_of(drawn, "g", "lad-crossing")[0], "data-rise")
    assert shift == pytest.approx(-LIFT * rise, abs=0.01)


def test_nothing_of_the_ladder_stands_outside(drawn: Svg) -> None:
    """Every word of the ladder begins inside the picture, and the cut-away is not scaled."""
    left, _, wide, _ = numbers(read(drawn).attrib["viewBox"])
    cut = all_of(drawn, "svg", "cut")[0]
    assert numbers(cut.attrib["viewBox"])[2:] == [number(cut, "width"), number(cut, "height")]
    assert all(left <= number(one, "x") <= left + wide for one in all_of(drawn, "text", "mk-text"))
    assert {"who has the say", "fuel against what it wants", "what it did"} <= set(texts(drawn))

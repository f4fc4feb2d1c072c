"""A bike's name survives the way into an address and back."""

from urllib.parse import unquote

from hypothesis import example, given
from hypothesis import strategies as some

from floatbowl.web.addresses import bike_address, bike_of


@given(name=some.text(min_size=1).filter(lambda name: name.strip()))
@example(name="a/b")
@example(name="a~1b")
@example(name="~")
@example(name="New")
@example(name="new~")
@example(name="..")
@example(name="<script>alert(1)</script>")
@example(name="100 % Otter?#")
def test_any_name_comes_back(name: str) -> None:
    """Whatever a bike is called, its address is one step below /bikes and leads back to it."""
    try:
        address = bike_address(name)
    except UnicodeEncodeError:
        return  # half a character: no file or form brings one
    assert address.isascii()
    step = unquote(address.removeprefix("/bikes/"))
    assert "/" not in address.removeprefix("/bikes/")
    assert step not in {"new", ".", "..", ""}
    assert bike_of(step) == name.casefold()

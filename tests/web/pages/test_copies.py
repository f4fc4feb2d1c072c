"""Copies of the garage are made, and their folder is set, only by who sits at the machine."""

from __future__ import annotations

from pathlib import Path

import pytest

from floatbowl.jobs import reopen_demo
from floatbowl.web.doorkeeper import DoorKeeper
from floatbowl.words import on_forms
from tests.web.browser import AFAR, PORT, Browser, browser_on

PLACES = [("192.168.1.77", AFAR), ("192.168.1.77", "127.0.0.1"), ("127.0.0.1", AFAR), ("testclient", AFAR)]
"""A phone; a phone that lies about the name it called; a port led here from elsewhere; no address at all."""


def let_in(shed: Path, *, peer: str, host: str) -> Browser:
    """Give a browser that has shown the door code."""
    keeper = DoorKeeper(code="482913")
    browser = browser_on(shed, keeper=keeper, peer=peer, host=host)
    opened = browser.post("/door", headers=ours(host), data={"code": "482913"})
    assert opened.status_code == 303
    return browser


def ours(host: str) -> dict[str, str]:
    """Give what a form of ours says of itself at this name."""
    return {"Origin": f"http://{host}:{PORT}"}


@pytest.mark.parametrize(("peer", "host"), PLACES)
def test_from_afar_no_folder_is_set_and_no_copy_made(
    shed: Path, tmp_path: Path, peer: str, host: str
) -> None:
    """With the door code and a form of our own: refused in a sentence, nothing written anywhere."""
    browser = let_in(shed, peer=peer, host=host)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    typed = {"backup_folder": str(tmp_path / "elsewhere"), "units": "imperial"}
    for address, form in (("/settings", typed), ("/settings/copy", {})):
        answer = browser.post(address, headers=ours(host), data=form)
        assert answer.status_code == 422
        assert on_forms.COPIES_THERE in answer.text
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize(("peer", "host"), PLACES)
def test_from_afar_the_page_says_where_and_shows_no_folder(shed: Path, peer: str, host: str) -> None:
    """The page tells where copies are made; where they lie on the machine is nobody else's business."""
    with reopen_demo(shed) as garage:
        garage.set_setting("backup_folder", "/a/secret/folder")
    page = let_in(shed, peer=peer, host=host).get("/settings").text
    assert on_forms.COPIES_THERE in page
    assert "secret" not in page
    assert "/settings/copy" not in page


def test_from_afar_the_other_settings_can_be_set(shed: Path) -> None:
    """Units and home are the garage's, and whoever is let in may set them."""
    browser = let_in(shed, peer="192.168.1.77", host=AFAR)
    sent = browser.post("/settings", headers=ours(AFAR), data={"units": "imperial"})
    assert sent.status_code == 303
    with reopen_demo(shed) as garage:
        assert garage.settings().units == "imperial"


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost"])
@pytest.mark.parametrize("peer", ["127.0.0.1", "::1"])
def test_at_the_machine_a_folder_is_set_and_a_copy_made(
    shed: Path, tmp_path: Path, peer: str, host: str
) -> None:
    """At a name of its own, and from the machine itself."""
    browser = browser_on(shed, peer=peer, host=host)
    folder = tmp_path / "copies"
    sent = browser.post("/settings", headers=ours(host), data={"backup_folder": str(folder)})
    assert sent.status_code == 303
    assert browser.post("/settings/copy", headers=ours(host)).status_code == 200
    assert len(list(folder.iterdir())) == 1

"""The demo's three bikes behind the gate."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from floatbowl.jobs import open_demo
from floatbowl.web.thinking import Thinking
from tests.web.browser import Browser, browser_on


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Set the demo's shed out once."""
    shed = tmp_path_factory.mktemp("shed") / "demo.garage"
    with open_demo(shed):
        pass
    return shed


@pytest.fixture
def shed(demo_file: Path, tmp_path: Path) -> Path:
    """Give a copy of the demo's shed to write in."""
    return Path(shutil.copy(demo_file, tmp_path / "shed.garage"))


@pytest.fixture
def ask(shed: Path) -> Browser:
    """Give a browser on a shed of its own; its pages come without thoughts."""
    return browser_on(shed)


@pytest.fixture(scope="session")
def thought(demo_file: Path) -> Iterator[Browser]:
    """Give a browser on a shed that thinks; its first thoughts take a while, so it is one for all."""
    with browser_on(demo_file, thinking=Thinking()) as browser:
        yield browser

"""How the pages feel, in short: the bars themselves are held by ``python -m benchmarks.pages``."""

import pytest
from playwright.sync_api import Browser

from benchmarks.pages import HEAVIEST, dry_fit_ms, first_kb, page_ms, tap_ms
from tests.browser.conftest import Visits
from tests.browser.shed import Shed

pytestmark = [pytest.mark.door, pytest.mark.slow]

BUSY = 6.0
"""How much longer all may take where other tests run beside on the same cores."""


def test_a_first_load_is_small(chromium: Browser, shed: Shed) -> None:
    """A browser that was never here fetches less than 250 kB for the heaviest page, all told."""
    assert first_kb(chromium, shed, HEAVIEST) < 250.0


def test_pages_taps_and_dry_fits_are_quick(shed: Shed, visits: Visits) -> None:
    """Even on a busy machine a page, a saved tap and a dry fit take no more than so many times their bars."""
    visit = visits(shed)
    visit.go("/")
    assert page_ms(visit, HEAVIEST, times=3) < BUSY * 200.0
    assert dry_fit_ms(visit, tries=("clip:4", "main:98", "clip:3")) < BUSY * 150.0
    assert tap_ms(visit, times=3) < BUSY * 100.0

"""Two people at a page: one taps what it says, one has only keys and hears what things are called.

Both find things as people do, by role and name; what they do is the same, so that a walk can be
gone by either.
"""

from __future__ import annotations

from typing import Protocol

from playwright.sync_api import CDPSession, Locator, Page

from tests.browser.visit import Visit

MOST_TABS = 160
"""Presses of Tab after which whatever is looked for is not on the way."""


class Hands(Protocol):
    """What a person does to a page."""

    visit: Visit

    def press(self, name: str) -> None:
        """Press a button of this name, and wait for the page it brings."""
        ...

    def follow(self, name: str) -> None:
        """Follow a link of this name, and wait for the page it leads to."""
        ...

    def choose(self, legend: str, label: str) -> None:
        """Take one of several under a question."""
        ...

    def tick(self, label: str) -> None:
        """Tick a box."""
        ...

    def write(self, label: str, text: str) -> None:
        """Write into a field, over what stood there."""
        ...


class Fingers:
    """Taps what is written on things."""

    def __init__(self, visit: Visit) -> None:
        """Sit down at a window."""
        self.visit = visit

    @property
    def page(self) -> Page:
        """Give the page that stands there now."""
        return self.visit.page

    def _tap(self, thing: Locator) -> None:
        if self.visit.size == "laptop":
            thing.click()
        else:
            thing.tap()

    def press(self, name: str) -> None:
        """Press a button."""
        button = self.page.get_by_role("button", name=name, exact=True).first
        self.visit.act(lambda: self._tap(button))

    def follow(self, name: str) -> None:
        """Follow a link; where it is folded away under the menu, unfold that first."""
        if not is_in_sight(self.page, name):
            self._tap(self.page.get_by_text(_MENUS[self.visit.size], exact=True))
        link = self.page.get_by_role("link", name=name, exact=True).locator("visible=true")
        self.visit.act(lambda: self._tap(link.first))

    def choose(self, legend: str, label: str) -> None:
        """Take one of several."""
        group = self.page.get_by_role("group", name=legend, exact=True)
        self._tap(group.get_by_role("radio", name=label, exact=True))

    def tick(self, label: str) -> None:
        """Tick a box."""
        self._tap(self.page.get_by_role("checkbox", name=label))

    def write(self, label: str, text: str) -> None:
        """Write into a field."""
        self.page.get_by_role("textbox", name=label, exact=True).fill(text)


class Keys:
    """Knows Tab, Enter, Space and the arrows, and of things what the accessibility tree calls them."""

    def __init__(self, visit: Visit) -> None:
        """Sit down at a window."""
        self.visit = visit
        self._tree: CDPSession = visit.context.new_cdp_session(visit.page)
        self._tree.send("Accessibility.enable")

    def hear(self) -> tuple[str, str, str]:
        """Give role and name of what has the focus, and the name of the group it stands in."""
        here = self._tree.send("Runtime.evaluate", {"expression": "document.activeElement"})
        asked = {"objectId": here["result"]["objectId"], "fetchRelatives": True}
        nodes = self._tree.send("Accessibility.getPartialAXTree", asked)["nodes"]
        me, *others = nodes
        groups = [_said(one, "name") for one in others if _said(one, "role") in {"group", "radiogroup"}]
        return _said(me, "role"), _said(me, "name"), groups[0] if groups else ""

    def _key(self, key: str) -> None:
        self.visit.page.keyboard.press(key)

    def _tab_to(self, *, role: str, name: str | None = None, group: str | None = None) -> None:
        """Press Tab until what is looked for has the focus; fails where it cannot be reached."""
        passed = []
        for _ in range(MOST_TABS):
            heard = self.hear()
            if heard[0] == role and name in {None, heard[1]} and group in {None, heard[2]}:
                return
            passed.append(heard[:2])
            self._key("Tab")
        told = f"no {role} {name or group!r} is reached by Tab; passed: {passed}"
        raise AssertionError(told)

    def press(self, name: str) -> None:
        """Press a button with Space."""
        self._tab_to(role="button", name=name)
        self.visit.act(lambda: self._key("Space"))

    def follow(self, name: str) -> None:
        """Follow a link with Enter; where it is folded away under the menu, unfold that first."""
        if not is_in_sight(self.visit.page, name):
            self._tab_to(role="DisclosureTriangle", name=_MENUS[self.visit.size])
            self._key("Enter")
        self._tab_to(role="link", name=name)
        self.visit.act(lambda: self._key("Enter"))

    def choose(self, legend: str, label: str) -> None:
        """Tab into the group and go to one of several with an arrow; Space takes the first."""
        self._tab_to(role="radio", group=legend)
        if self.hear()[1] == label:
            self._key("Space")
            return
        first = self.hear()[1]
        for _ in range(MOST_TABS):
            self._key("ArrowDown")
            heard = self.hear()
            if heard[1] == label:
                return
            assert heard[1] != first, f"no {label!r} under {legend!r}"

    def tick(self, label: str) -> None:
        """Tick a box with Space."""
        self._tab_to(role="checkbox", name=label)
        self._key("Space")

    def write(self, label: str, text: str) -> None:
        """Write into a field."""
        self._tab_to(role="textbox", name=label)
        self._key("ControlOrMeta+a")
        self.visit.page.keyboard.type(text)


_MENUS = {"phone": "Menu", "narrow": "Menu", "laptop": "More"}
"""What the folded ways on are called."""


def is_in_sight(page: Page, link: str) -> bool:
    """Say whether a link of this name can be seen."""
    return page.get_by_role("link", name=link, exact=True).locator("visible=true").count() > 0


def _said(node: dict[str, dict[str, str]], what: str) -> str:
    return node.get(what, {}).get("value", "")

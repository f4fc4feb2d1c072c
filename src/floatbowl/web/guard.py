"""The guard's rules: which requests are answered at all. Plain functions of what a request says.

A page from elsewhere may run in the same browser as ours and send what it likes to our address; it
cannot change ``Host``, ``Origin`` or ``Sec-Fetch-Site``. What does not name one of our own addresses
is refused (so a foreign name that is pointed at this machine is of no use), and what wants to write
must come from one of our own pages.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from ipaddress import ip_address
from urllib.parse import urlsplit

from floatbowl.web.doorkeeper import DoorKeeper
from floatbowl.words import door as words

LOOPBACK = ("127.0.0.1", "localhost", "[::1]")
PASS = "floatbowl-door"  # noqa: S105  (the name of the cookie, not what is in it)
OUTSIDE = ("/door", "/static/")
"""What can be seen in front of the door."""

CONTENT_POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; font-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
HEADERS = {
    "Content-Security-Policy": CONTENT_POLICY,
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(self), payment=(), usb=()",
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}
"""What every answer says to the browser.

The referrer goes to our own pages only. Not even there would be stricter by a hair, but a browser
then hides the origin of our own forms too, and over plain http nothing else says where they are from.
"""


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a request is not answered; ``leads_to`` is where somebody who only looks may go instead."""

    status: int
    sentence: str
    leads_to: str = ""


@dataclass(frozen=True, slots=True)
class Guard:
    """The addresses that are ours, as ``name:port``, and the keeper of the door where there is one."""

    hosts: tuple[str, ...]
    keeper: DoorKeeper | None = field(default=None)

    @property
    def addresses(self) -> tuple[str, ...]:
        """Give our addresses as a person types them."""
        return tuple(f"http://{host}/" for host in self.hosts)


def guard_here(port: int, *, beyond: Sequence[str] = (), keeper: DoorKeeper | None = None) -> Guard:
    """Make the guard for a port on this machine, and for further addresses of it that we told people."""
    return Guard(tuple(f"{name}:{port}" for name in (*beyond, *LOOPBACK)), keeper)


@dataclass(frozen=True, slots=True)
class Call:
    """What a request says about itself: names of headers in small letters."""

    method: str
    path: str
    headers: Mapping[str, str]
    hosts: tuple[str, ...]
    """Every ``Host`` header: there should be one."""
    ticket: str = ""
    """The pass it shows."""


def refusal(call: Call, guard: Guard) -> Refusal | None:
    """Say why a request is not answered; None when it is."""
    if len(call.hosts) != 1 or call.hosts[0].lower() not in guard.hosts:
        return Refusal(421, words.not_here(guard.addresses[:1]))
    if call.method not in {"GET", "HEAD", "POST"}:
        return Refusal(405, words.NOT_THIS_WAY)
    if not _is_from_here(call):
        return Refusal(403, words.FOREIGN)
    return _at_the_door(call, guard.keeper)


def is_at_the_machine(peer: str, host: str) -> bool:
    """Say whether somebody sits at the machine itself: called from it, and at a name that leads nowhere else.

    The door code lets people into the garage, not into the machine's folders.

    >>> is_at_the_machine("127.0.0.1", "localhost:8377"), is_at_the_machine("192.168.1.7", "192.168.1.5:8377")
    (True, False)
    """
    try:
        is_near = ip_address(peer).is_loopback
    except ValueError:
        return False
    return is_near and host.rpartition(":")[0].lower() in LOOPBACK


def _is_from_here(call: Call) -> bool:
    """Say whether a request comes from one of our pages, or is somebody coming in by an address."""
    site = call.headers.get("sec-fetch-site")
    if site is not None and site not in {"same-origin", "none"}:
        return call.method != "POST" and call.headers.get("sec-fetch-mode") == "navigate"
    return call.method != "POST" or _is_sent_by_us(call, site)


def _is_sent_by_us(call: Call, site: str | None) -> bool:
    """Say whether what is sent comes from a page of ours: by its origin, or whatever else tells it."""
    origin = call.headers.get("origin")
    if origin is not None and origin != "null":
        return origin.lower() == f"http://{call.hosts[0].lower()}"
    if site is not None:
        return True
    came_from = urlsplit(call.headers.get("referer", ""))
    return came_from.scheme == "http" and came_from.netloc.lower() == call.hosts[0].lower()


def _at_the_door(call: Call, keeper: DoorKeeper | None) -> Refusal | None:
    if keeper is None or call.path == OUTSIDE[0] or call.path.startswith(OUTSIDE[1]):
        return None
    if call.ticket and keeper.lets_in(call.ticket):
        return None
    return Refusal(401, words.CODE_FIRST, leads_to="" if call.method == "POST" else OUTSIDE[0])

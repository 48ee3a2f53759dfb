"""How the messaging channel may be used, as set from outside."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from urllib.parse import urlsplit

AT_ONCE = 16  # chats served at the same time; above that the HTTP client gets slower, not faster
SECRET = re.compile(r"[A-Za-z0-9_-]{1,256}")  # what the channel takes
LISTEN = "127.0.0.1:8088"


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast the channel is written to; its own limits unless it is told otherwise.

    Attributes:
        overall: messages a second, by all workers together.
        chat: messages a second to one chat.
        group: messages a minute to one group.
        at_once: messages under way at the same time; what a crash may repeat, at most.
    """

    overall: int = 30
    chat: int = 1
    group: int = 20
    at_once: int = AT_ONCE


@dataclass(frozen=True, slots=True)
class Hook:
    """Where the channel brings updates to, instead of being asked for them.

    Attributes:
        url: the public address, as the channel is told it.
        host, port: where we listen, behind a proxy.
        secret: what the channel says with each.
    """

    url: str
    host: str
    port: int
    secret: str = field(repr=False)


def pace(environment: Mapping[str, str], faults: list[str]) -> Pace:
    """The pace in these variables; what can't be used is added to the faults."""
    usual = Pace()
    return Pace(
        number(environment, "COILBOOK_PACE", usual.overall, faults),
        number(environment, "COILBOOK_PACE_CHAT", usual.chat, faults),
        number(environment, "COILBOOK_PACE_GROUP", usual.group, faults),
        number(environment, "COILBOOK_SENDS", usual.at_once, faults),
    )


def hook(environment: Mapping[str, str], faults: list[str]) -> Hook | None:
    """Where updates are brought to; None where the channel is asked for them."""
    url = environment.get("COILBOOK_WEBHOOK_URL", "")
    if not url:
        return None
    if urlsplit(url).scheme not in ("https", "http") or not urlsplit(url).netloc:
        faults.append("COILBOOK_WEBHOOK_URL: say the public address, https://...")
    secret = environment.get("COILBOOK_WEBHOOK_SECRET", "")
    if not SECRET.fullmatch(secret):
        faults.append("COILBOOK_WEBHOOK_SECRET: 1 to 256 letters, digits, _ or - are needed")
    host, _, port = environment.get("COILBOOK_WEBHOOK_LISTEN", LISTEN).rpartition(":")
    if not host or not port.isdecimal() or int(port) > 65535:
        faults.append(f"COILBOOK_WEBHOOK_LISTEN: say where to listen, like {LISTEN}")
        return None
    return Hook(url, host.strip("[]"), int(port), secret)


def number(environment: Mapping[str, str], name: str, usual: int, faults: list[str]) -> int:
    """The whole number in a variable, at least 1."""
    said = environment.get(name, "").strip() or str(usual)
    if said.isdecimal() and int(said) >= 1:
        return int(said)
    faults.append(f"{name}: {said[:20]!r} is no whole number from 1 up")
    return usual

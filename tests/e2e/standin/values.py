"""What the stand-in keeps: messages as seen, calls as made, faults to come."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from tests.e2e.standin.markup import Marked


@dataclass
class Seen:
    """A message of the bot as a person sees it now, edits applied."""

    id: int
    chat: int
    marked: Marked
    keys: list[list[dict[str, Any]]] = field(default_factory=list)
    edits: int = 0
    file: tuple[str, bytes, str] | None = None  # name, content, media type
    photo: bool = False

    @property
    def text(self) -> str:
        """The text as it was sent, without markup."""
        return self.marked.text

    @property
    def shown(self) -> str:
        """The text as the channel shows it: blanks around it are taken off."""
        return self.text.strip(" \n")

    @property
    def labels(self) -> list[list[str]]:
        """The keyboard."""
        return [[str(key["text"]) for key in row] for row in self.keys]

    def data(self, label: str) -> str | None:
        """What a button sends when pressed; None when there is no such button."""
        for row in self.keys:
            for key in row:
                if key["text"] == label:
                    return str(key["callback_data"])
        return None


@dataclass(frozen=True)
class Call:
    """A call the bot has made."""

    method: str
    values: Mapping[str, Any]
    at: float  # seconds of the loop's clock


@dataclass(frozen=True)
class Fault:
    """What befalls one call instead of being served.

    Attributes:
        status: of the HTTP answer.
        html: answered with a page instead of JSON, as a gateway does.
        drop: no answer at all, the connection is closed.
        served: dropped only after the call has done its work.
        delay_s: how late the answer is; with status 200 the call is served.
        chat: only calls for this chat; None for any.
    """

    status: int = 200
    description: str = ""
    retry_after: int | None = None
    html: bool = False
    drop: bool = False
    served: bool = False
    delay_s: float = 0.0
    chat: int | None = None


def too_many(seconds: int) -> Fault:
    """The channel's request to wait."""
    return Fault(429, f"Too Many Requests: retry after {seconds}", retry_after=seconds)


def blocked() -> Fault:
    """The person has blocked the bot."""
    return Fault(403, "Forbidden: bot was blocked by the user")


def bad_gateway() -> Fault:
    """A page from a machine in between."""
    return Fault(502, html=True)


def refused(description: str) -> Fault:
    """A bad request, in the channel's words."""
    return Fault(400, f"Bad Request: {description}")


class RefusalError(Exception):
    """The call is not served; the answer says why.

    Attributes:
        rightly: False for what a careful bot never does: it counts as a violation.
    """

    def __init__(self, description: str, status: int = 400, *, rightly: bool = False) -> None:
        super().__init__(description)
        self.description = description
        self.status = status
        self.rightly = rightly

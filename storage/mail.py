"""What comes in and goes out, as values: updates, letters, and what a worker has to do next.

An update is kept before the channel is told that it came, and marked in the transaction that
changes what it asks to be changed. A letter, one message on the phone, is written in that same
transaction and leaves later. So nothing is lost, nothing is done twice, and only a letter that was
under way while everything stopped may arrive a second time.
"""

from dataclasses import dataclass
from datetime import datetime
from enum import IntEnum

from core.instructor import OwnerId
from storage.crypto import Place


class State(IntEnum):
    """How far an update or a letter has come."""

    OPEN = 0
    DONE = 1
    DEAD = 2


SUSPECT = 2  # workers that may die near an update before it is noted when it is begun
BEGUN = "Begun"  # stands for its error meanwhile


@dataclass(frozen=True, slots=True)
class Arrival:
    """An update as the channel sent it.

    Attributes:
        number: what the channel calls it; the same number is the same update.
        chat: where it comes from, e.g. "telegram:4711".
        body: all of it, as text.
    """

    number: int
    chat: str
    body: str


@dataclass(frozen=True, slots=True)
class Update:
    """An update that waits to be answered.

    Attributes:
        body: None where it can't be read any more.
        attempts: how many workers have died near it, and, from SUSPECT on, over it.
    """

    number: int
    chat: str
    body: str | None
    attempts: int = 0


@dataclass(frozen=True, slots=True)
class Letter:
    """A message of ours that waits to be sent.

    Attributes:
        post, part: what it belongs to, and its place there.
        body: what it says, as text; None where it can't be read any more.
        attempts: how often sending it has failed or ended unknown.
    """

    id: int
    chat: str
    post: str
    part: int
    body: str | None
    made_at: datetime
    attempts: int = 0


@dataclass(frozen=True, slots=True)
class Work:
    """What there is to do in a chat.

    Attributes:
        update: the first that waits.
        letter: the first that is due.
        quiet_until: it may not be sent before.
        recent: when messages were sent there lately, in seconds; kept for groups.
    """

    update: Update | None = None
    letter: Letter | None = None
    quiet_until: datetime | None = None
    recent: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Sent:
    """A letter that has left.

    Attributes:
        message: what the channel calls it.
        quiet_until: its chat may not be written to before.
        recent: when messages were sent there lately, in seconds; kept for groups.
        rest_too: what else belongs to its post stands there already.
    """

    letter: Letter
    message: int | None
    quiet_until: datetime
    recent: tuple[float, ...] = ()
    rest_too: bool = False


@dataclass(frozen=True, slots=True)
class Problem:
    """What could not be done, without its content.

    Attributes:
        kind: "letter" or "update".
        error: the type of what went wrong.
        first, last: when the earliest and the latest of them was made.
    """

    kind: str
    error: str
    count: int
    chats: int
    first: datetime
    last: datetime


@dataclass(frozen=True, slots=True)
class Allowed:
    """How many messages may be sent now, or when to ask again.

    Attributes:
        count: so many, each begun before `until`; with none, `until` is when to ask again.
    """

    count: int
    until: datetime


@dataclass(frozen=True, slots=True)
class Depth:
    """How much waits.

    Attributes:
        updates: not answered yet.
        letters: due and not sent.
        dead: given up; see `Problem`.
        oldest: since when the longest waiting of the first two has waited.
    """

    updates: int
    letters: int
    dead: int
    oldest: datetime | None


def update_place(number: int) -> Place:
    """Where the body of an update stands."""
    return Place("inbox", "body", number)


def letter_place(chat: str, post: str, part: int) -> Place:
    """Where the body of a letter stands: bound to its chat, so that it can't be sent elsewhere."""
    return Place("outbox", "body", f"{part} {post}", (chat,))


HOUSE = OwnerId(0)  # under whose name is sealed what is nobody's yet

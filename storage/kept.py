"""What is kept about people and about access, beyond what the thinking part needs to know."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from typing import Any, NewType

from core.client import ClientId
from core.instructor import OwnerId
from core.reminder import ReminderId

NoteId = NewType("NoteId", int)


@dataclass(frozen=True, slots=True)
class Note:
    """A note on a client."""

    id: NoteId
    client: ClientId
    made_at: datetime
    text: str


@dataclass(frozen=True, slots=True)
class Declaration:
    """What a client has answered or agreed to, and what followed from it.

    Attributes:
        kind: what it is about, e.g. "readiness" or "consent".
        day: the day it was said.
        outcome: a word for what followed, e.g. a row of the readiness table.
        facts: the answers themselves, as plain JSON values.
    """

    kind: str
    day: date
    outcome: str
    facts: Mapping[str, Any] = field(default_factory=dict)


class Change(StrEnum):
    """What can be taken back."""

    ADDED = "client added"
    CLIENT = "client changed"
    FLAGS = "flags"
    NOTE = "note"
    DECLARATION = "declaration"
    GROUP = "group"
    CLASS = "class"
    AWAY = "away"
    REMINDER = "reminder"
    RHYTHM = "rhythm"


IN_DIARY = (Change.CLASS, Change.AWAY, Change.REMINDER, Change.RHYTHM)


@dataclass(frozen=True, slots=True)
class Undone:
    """A change that was taken back.

    Attributes:
        name: of the client or the group it was about, as it was before this was taken back.
        client: whom it was about, or None for a group.
        number: of the record that was changed.
    """

    what: Change
    name: str
    client: ClientId | None = None
    number: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class Claim:
    """A reminder that is due, and ours to say until the lease ends."""

    owner: OwnerId
    reminder: ReminderId
    due: datetime


@dataclass(frozen=True, slots=True)
class Audit:
    """That something was done, without what it was done to.

    Attributes:
        what: a word: "erase", "export", "purge", "grant", "revoke" ...
        counts: how many of what.
    """

    at: datetime
    what: str
    counts: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Access:
    """Somebody who is let in.

    Attributes:
        admitted_at: when she was let in, where it is known.
    """

    owner: OwnerId
    door: str
    admitted_at: datetime | None = None

"""The people in a class: who they are to the instructor, and what she has been told to mind.

None of these values prints itself: what is said of a person must not reach a log or a traceback.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import NewType

from core.apparatus import ApparatusId
from core.errors import CoreError
from core.exercise import Level

ClientId = NewType("ClientId", int)

TERM = timedelta(days=280)  # due date = first day of the last period + 280 days (obstetric usage)
ANSWER_HOLDS = timedelta(days=365)  # clearance "within the last 12 months" (EVIDENCE 6.1)
NAME_LONGEST = 40  # letters; a nickname or initials are enough (house choice)


class ClientError(CoreError):
    """What is said of a person can't be true, or says too little."""


class Severity(StrEnum):
    """How much a flag weighs, the lightest first."""

    MILD = "mild"
    MARKED = "marked"
    ACUTE = "acute"


class Side(StrEnum):
    """Where a flag sits."""

    LEFT = "left"
    RIGHT = "right"
    BOTH = "both"
    NONE = "none"


@dataclass(frozen=True, slots=True, repr=False)
class Flag:
    """Something to mind about a person; it holds until it is taken away by hand.

    Attributes:
        condition: id of a condition of the cautions, or the words typed when none is known.
        since, review: when it began, when to ask again; a review that has passed lifts nothing.
        said_by: who said so: the client, a physiotherapist, a letter.
        words: the flag as it was typed.
        due: the day a birth is expected; pregnancy is counted from it.
        event: the day of the operation or birth; weeks after it are counted from here.
        details: what the condition's rules tell apart, e.g. "posterior", "spine fracture".
        answered: the day a clinician's answer to "ask first" was recorded, or None.
        answered_by: who gave it.
    """

    condition: str
    side: Side = Side.NONE
    severity: Severity = Severity.MARKED
    since: date | None = None
    review: date | None = None
    said_by: str = ""
    words: str = ""
    due: date | None = None
    event: date | None = None
    details: tuple[str, ...] = ()
    answered: date | None = None
    answered_by: str = ""

    def __post_init__(self) -> None:
        checks = (
            (bool(self.condition.strip()), "a flag names a condition or a body part"),
            (self.due is None or self.event is None, "a flag has a due date or an event, not both"),
            (_ordered(self.since, self.review), "a review can't come before the beginning"),
            (_ordered(self.event, self.review), "a review can't come before the event"),
            (_ordered(self.event, self.answered), "an answer can't come before the event"),
            (
                self.due is None or self.since is None or self.since <= self.due,
                "a pregnancy can't begin after its due date",
            ),
            (len(set(self.details)) == len(self.details), "a detail stands twice"),
            (all(d.strip() for d in self.details), "a detail can't be empty"),
            (self.answered is not None or not self.answered_by, "an answer has its day"),
        )
        for good, fault in checks:
            if not good:
                raise ClientError(fault)

    def pregnant_days(self, today: date) -> int | None:
        """Completed days of pregnancy, 7 to a week, or None without a due date."""
        return None if self.due is None else (today - (self.due - TERM)).days

    def days_after(self, today: date) -> int | None:
        """Days since the operation or birth; None when the day is unknown or still to come."""
        days = None if self.event is None else (today - self.event).days
        return None if days is None or days < 0 else days

    def answer_holds(self, today: date) -> bool:
        """Whether a recorded answer of a clinician still counts: a year, or until the review."""
        return (
            self.answered is not None
            and self.answered <= today < self.answered + ANSWER_HOLDS
            and (self.review is None or today < self.review)
        )

    def review_due(self, today: date) -> bool:
        """Whether it is time to ask again: the review day is here, or the due date has passed."""
        return (self.review is not None and self.review <= today) or (
            self.due is not None and self.due < today
        )


@dataclass(frozen=True, slots=True, repr=False)
class Client:
    """A person in the instructor's care.

    Attributes:
        name: a nickname or initials as she knows them.
        springs: the setting she usually takes, one for each apparatus at most, as typed.
    """

    id: ClientId
    name: str
    level: Level = Level.FUNDAMENTAL
    goals: tuple[str, ...] = ()
    springs: tuple[tuple[ApparatusId, str], ...] = ()
    flags: tuple[Flag, ...] = ()

    def __post_init__(self) -> None:
        _named(self.name)
        on = [apparatus for apparatus, _ in self.springs]
        if len(set(on)) < len(on):
            raise ClientError("an apparatus has one usual setting a person")
        if not all(setting.strip() for _, setting in self.springs):
            raise ClientError("a usual setting can't be empty")

    def reviews(self, today: date) -> tuple[Flag, ...]:
        """The flags to ask about again; they go on holding meanwhile."""
        return tuple(flag for flag in self.flags if flag.review_due(today))


@dataclass(frozen=True, slots=True, repr=False)
class Group:
    """People who come together."""

    name: str
    members: tuple[ClientId, ...] = ()

    def __post_init__(self) -> None:
        _named(self.name)
        if len(set(self.members)) < len(self.members):
            raise ClientError("a person stands in a group once")


def _ordered(first: date | None, then: date | None) -> bool:
    return first is None or then is None or first <= then


def _named(name: str) -> None:
    if not 1 <= len(name.strip()) <= NAME_LONGEST or name != name.strip():
        raise ClientError(f"a name has 1 to {NAME_LONGEST} letters and no space at its ends")

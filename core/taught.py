"""A class that was taught: what was planned, how long it took, who was there, how it went."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from core.apparatus import Apparatus, ApparatusId
from core.client import Client, ClientId
from core.errors import CoreError
from core.exercise import ExerciseId
from core.plan import ClassPlan
from core.timing import Pace, kinds_of, timeline

LEAST_EFFORT, MOST_EFFORT = 0, 10  # "how hard was it?", asked in words of our own
SHORTEST_S, LONGEST_S = 5 * 60, 4 * 3600  # of a class that was taught (house choice)
ASK_AFTER = timedelta(days=2)  # a new complaint is asked about (house choice)
REVIEW_SOON = timedelta(days=7)  # a review this near is asked about (house choice)
MISSED_TWICE = 2  # classes in a row before it is proposed to write (house choice)


class TaughtError(CoreError):
    """A class can't have gone like that."""


@dataclass(frozen=True, slots=True)
class TaughtItem:
    """A place of a class that was taught.

    Attributes:
        change_s, work_s: planned seconds of the change before it and of set-up and work, both on
            the clock without anybody's own pace, so that what is learned does not feed on itself.
        took_s: how long change, set-up and work took together, where it is known.
    """

    n: int
    exercise: ExerciseId
    kinds: tuple[str, ...]
    springs: str
    reps: int
    sets: int
    change_s: int
    work_s: int
    took_s: int | None = None
    skipped: bool = False


@dataclass(frozen=True, slots=True)
class TaughtClass:
    """A class that was taught.

    Attributes:
        plan: the number of its plan.
        at: when it began, as far as is known, aware and in UTC.
        talk_s: planned seconds of the talk at its beginning and end; nobody's pace changes them.
        took_s: how long it took, where that is known.
        rpe: how hard it was as a whole, 0-10, where that was said.
    """

    plan: int
    at: datetime
    people: int
    talk_s: int
    items: tuple[TaughtItem, ...]
    took_s: int | None = None
    rpe: int | None = None
    group: str = ""

    def __post_init__(self) -> None:
        if self.at.tzinfo is None:
            raise TaughtError("a class is taught at an instant, with its zone")
        _effort(self.rpe)
        if self.took_s is not None and not SHORTEST_S <= self.took_s <= LONGEST_S:
            raise TaughtError(
                f"a class takes {SHORTEST_S // 60} to {LONGEST_S // 60} minutes, "
                f"not {self.took_s // 60}"
            )

    @property
    def done(self) -> tuple[TaughtItem, ...]:
        """What was not skipped."""
        return tuple(item for item in self.items if not item.skipped)

    @property
    def planned_s(self) -> int:
        """Seconds planned for what was done, on the clock without anybody's own pace."""
        return self.talk_s + sum(item.change_s + item.work_s for item in self.done)

    @property
    def lasted_s(self) -> int:
        """How long it took, or was planned to take where nobody said."""
        return self.planned_s if self.took_s is None else self.took_s


@dataclass(frozen=True, slots=True)
class Done:
    """What a person did at a place of a class."""

    exercise: ExerciseId
    springs: str
    reps: int


@dataclass(frozen=True, slots=True, repr=False)
class Attendance:
    """A person and one class she was expected in; it does not print itself.

    Attributes:
        plan: the number of the class's plan.
        at: when the class began.
        effort: how hard it was for her, 0-10; where she did not say, what the class said counts.
        note: what was written down of her.
        did: what she did, with which springs; what she did otherwise is not in it.
    """

    client: ClientId
    plan: int
    at: datetime
    there: bool = True
    effort: int | None = None
    lasted_s: int = 0
    note: str = ""
    did: tuple[Done, ...] = ()

    def __post_init__(self) -> None:
        _effort(self.effort)


def taught_items(
    plan: ClassPlan,
    apparatus: Mapping[ApparatusId, Apparatus],
    skipped: Iterable[int] = (),
    took: Mapping[int, int] | None = None,
) -> tuple[TaughtItem, ...]:
    """The places of a plan as taught.

    Args:
        skipped: numbers of the places that were left out.
        took: place -> seconds from the end of the one before to its own end, where known.
    """
    out, known = set(skipped), took or {}
    return tuple(
        TaughtItem(
            n=item.n,
            exercise=item.step.exercise.id,
            kinds=kinds_of(item.step.exercise),
            springs=str(item.step.springs),
            reps=item.step.reps,
            sets=item.step.sets,
            change_s=item.transition_s,
            work_s=item.setup_s + item.duration_s,
            took_s=None if item.n in out else known.get(item.n),
            skipped=item.n in out,
        )
        for item in timeline(plan.steps, plan.brief, apparatus, Pace())
    )


class Why(StrEnum):
    """Why something is proposed after a class."""

    COMPLAINT = "complaint"
    MISSED = "missed"
    REVIEW = "review"


@dataclass(frozen=True, slots=True, repr=False)
class FollowUp:
    """Something to do about a person after a class; proposed, never done by itself.

    Attributes:
        about: the condition or body part to ask about; empty where it is only to write.
        day: when.
    """

    client: ClientId
    why: Why
    day: date
    about: str = ""


def follow_ups(
    client: Client,
    attended: Iterable[Attendance],
    complaints: Iterable[str],
    today: date,
) -> tuple[FollowUp, ...]:
    """What follows for a person from the class just logged.

    Args:
        attended: her classes, the newest first.
        complaints: what her note of this class complains of that no flag has yet.
    """
    found = [FollowUp(client.id, Why.COMPLAINT, today + ASK_AFTER, what) for what in complaints]
    latest = [each.there for each in attended][:MISSED_TWICE]
    if len(latest) == MISSED_TWICE and not any(latest):
        found.append(FollowUp(client.id, Why.MISSED, today))
    found += [
        FollowUp(client.id, Why.REVIEW, max(flag.review, today), flag.condition)
        for flag in client.flags
        if flag.review is not None and flag.review <= today + REVIEW_SOON
    ]
    return tuple(found)


def _effort(value: int | None) -> None:
    if value is not None and not LEAST_EFFORT <= value <= MOST_EFFORT:
        raise TaughtError(f"effort is {LEAST_EFFORT} to {MOST_EFFORT}, not {value}")

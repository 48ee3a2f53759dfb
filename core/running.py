"""A class while it is taught: where it stands, what the taps have timed, how much time is in hand.

No tap has to come: what was not tapped is taken as taught, its time unknown.
"""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from core.errors import CoreError
from core.plan import ClassPlan

OVERTIME = timedelta(minutes=30)  # after its slot a class has stopped by itself (house choice)
EARLY_IN = timedelta(minutes=30)  # before its hour it may be opened, and waits (house choice)
# Between two taps something else happened, or they were made up for later, when they lie apart by
# less than this share of what was planned, or more than so many times it (house choice).
HASTY, IDLE = 0.25, 3.0


class RunningError(CoreError):
    """A class can't run like that."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A place that is behind us, and between which taps it lay."""

    n: int
    started: datetime
    ended: datetime
    skipped: bool = False


@dataclass(frozen=True, slots=True)
class Running:
    """A class on its way.

    Attributes:
        first: the number of the plan it was opened with; it stays.
        plan: the number of its plan now; a change on the way gives it another.
        began: when its slot begins; the planned clock counts from here.
        slot_s: how long the slot is; a change of plan on the way does not change it.
        place: the place being taught: 0 before the first, one past the last when all is done.
        since: when this place was come to.
        lost_s: seconds that the plan has got shorter by on the way; negative for longer.
        ended: when it was stopped; None while it runs.
        by_itself: nobody stopped it, so how long it took is not known.
    """

    first: int
    plan: int
    began: datetime
    slot_s: int
    since: datetime
    place: int = 0
    marks: tuple[Mark, ...] = ()
    lost_s: int = 0
    ended: datetime | None = None
    by_itself: bool = False

    def __post_init__(self) -> None:
        times = (self.began, self.since, *(mark.ended for mark in self.marks))
        if any(at.tzinfo is None for at in times):
            raise RunningError("a class runs between instants, with their zone")
        if [mark.n for mark in self.marks] != list(range(1, self.place)) and self.place:
            raise RunningError("every place before this one has its mark, in order")

    @property
    def ends(self) -> datetime:
        """When its slot is over."""
        return self.began + timedelta(seconds=self.slot_s)

    @property
    def skipped(self) -> tuple[int, ...]:
        """The places that were left out by a tap."""
        return tuple(mark.n for mark in self.marks if mark.skipped)

    def next(self, now: datetime, places: int) -> "Running":
        """On to the next place; past the last the class is over."""
        return self._on(now, places, skipped=False)

    def skip(self, now: datetime, places: int) -> "Running":
        """On to the next place, this one left out."""
        return self._on(now, places, skipped=True)

    def back(self) -> "Running":
        """At the place before again, as if the last tap had not been."""
        if self.place == 0:
            return self
        if self.place == 1:
            return replace(self, place=0, marks=(), ended=None, by_itself=False)
        last = self.marks[-1]
        return replace(
            self,
            place=last.n,
            marks=self.marks[:-1],
            since=last.started,
            ended=None,
            by_itself=False,
        )

    def stop(self, now: datetime) -> "Running":
        """Over, wherever it stands."""
        return self if self.ended else replace(self, ended=max(now, self.since))

    def reopen(self, places: int) -> "Running":
        """Running again, as it was before it was over."""
        if self.place > places:
            return self.back()
        return replace(self, ended=None, by_itself=False)

    def lapse(self) -> "Running":
        """Over by itself, at the end of its slot."""
        return replace(self.stop(self.ends), by_itself=True)

    def on(self, number: int, before: ClassPlan, after: ClassPlan) -> "Running":
        """The same class in a changed plan; what the change saves is time in hand."""
        return replace(self, plan=number, lost_s=self.lost_s + before.total_s - after.total_s)

    def lapsed(self, now: datetime) -> bool:
        """Whether it stops by itself: its slot and half an hour are over."""
        return self.ended is None and now > self.ends + OVERTIME

    def in_hand_s(self, plan: ClassPlan, now: datetime) -> int:
        """Seconds in hand: how far this place was come to before its time; negative is late.

        While it lasts longer than planned, it is what is still in hand now.
        """
        if not plan.items:
            return 0
        at = min(self.place, len(plan.items) + 1)
        due = plan.items[at - 2].end_s if at > 1 else plan.opening_s if at == 1 else 0
        arrived = due + self.lost_s - _seconds(self.since - self.began)
        if not 0 < at <= len(plan.items) or self.ended:
            return arrived if at else min(0, arrived)
        done = plan.items[at - 1].end_s + self.lost_s - _seconds(now - self.began)
        return min(arrived, done)

    def took(self, plan: ClassPlan) -> dict[int, int]:
        """Place -> seconds from the end of the one before to its own end, where the taps say so."""
        found = {}
        for mark, item in zip(self.marks, plan.items, strict=False):
            planned = item.transition_s + item.setup_s + item.duration_s
            seconds = _seconds(mark.ended - mark.started)
            if not mark.skipped and HASTY * planned <= seconds <= IDLE * planned:
                found[mark.n] = seconds
        return found

    def left_out(self, plan: ClassPlan) -> tuple[int, ...]:
        """The places that were not taught: skipped, or not come to when it was stopped by hand."""
        if self.ended is None or self.by_itself or self.place > len(plan.items):
            return self.skipped
        # Since the last tap so much of the plan can have been taught, and no more.
        at = max(1, self.place)
        due = plan.items[at - 2].end_s if at > 1 else plan.opening_s
        spent = _seconds(self.ended - self.since)
        later = [i.n for i in plan.items if i.n > self.place and i.start_s - due > spent]
        return (*self.skipped, *later)

    def lasted_s(self) -> int | None:
        """How long it took, once it is over by hand."""
        return None if self.ended is None or self.by_itself else _seconds(self.ended - self.began)

    def follows(self, plan: ClassPlan, other: ClassPlan) -> bool:
        """Whether another plan is the same up to here, so that this class can go on in it."""
        here, there = (
            [item.step.exercise.id for item in each.items[: self.place]] for each in (plan, other)
        )
        return here == there

    def _on(self, now: datetime, places: int, *, skipped: bool) -> "Running":
        if self.ended or self.place > places:
            return self
        now = max(now, self.since)
        if self.place == 0:
            return replace(self, place=1, since=max(now, self.began))
        mark = Mark(self.place, self.since, now, skipped)
        over = self.place == places
        return replace(
            self,
            place=self.place + 1,
            marks=(*self.marks, mark),
            since=now,
            ended=now if over else None,
        )


def open_class(number: int, plan: ClassPlan, starts: datetime | None, now: datetime) -> Running:
    """A class about to be taught: its slot begins at its hour if that is near, else now.

    Args:
        starts: its hour as an instant, or None where it has none.
    """
    near = starts is not None and starts - EARLY_IN <= now <= starts + timedelta(
        seconds=plan.brief.slot_s
    )
    began = starts if near and starts is not None else now
    return Running(first=number, plan=number, began=began, slot_s=plan.brief.slot_s, since=began)


def _seconds(span: timedelta) -> int:
    return round(span.total_seconds())

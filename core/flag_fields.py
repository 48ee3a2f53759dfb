"""The words beside a condition -> side, severity, days, who said so, readings; and the rest."""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from core.caution_rule import Condition, Timed
from core.client import TERM, Severity, Side
from core.flag_dates import MONTHS, NEAR, UNITS, WEEKDAYS, ReadDay, Span, moved, read_day, read_span
from core.flag_vocabulary import FILLERS, JOINS, NEGATIONS, ROLES, SAYS, SEVERITIES, SIDES
from core.screening import MG_A_MMOL, glucose_detail, pressure_details

MOST_PREGNANT = 42 * 7  # days; more weeks than that are no pregnancy (obstetric usage)
LONG_AGO = timedelta(days=270)  # an event read so far back without a year may be still to come
MOST_MMOL = 35.0  # a larger glucose reading is in mg/dL
ORDER = tuple(Severity)
VERTEBRA = re.compile(r"[ctls]\d{1,2}")  # "l5 s1": kept with the words of the flag
BEGAN = frozenset("since started began".split())
UNTIL = frozenset("until till til".split())
AGAIN = frozenset("review reviewed recheck check".split())
CLINICIANS = ROLES - frozenset("she he they herself himself letter hospital clinic".split())
ANSWER = frozenset("cleared clearance".split())
OPEN = frozenset("on in at by is due again the of from".split())  # between such a word and a day


@dataclass(slots=True)
class Fields:
    """What the words beside a condition say."""

    side: Side = Side.NONE
    severity: Severity | None = None
    since: date | None = None
    review: date | None = None
    due: date | None = None
    event: date | None = None
    said_by: str = ""
    answered: date | None = None
    answered_by: str = ""
    details: list[str] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)


def read_fields(
    words: Sequence[str], places: Iterable[int], condition: Condition, today: date
) -> Fields:
    """What the words at these places say about a condition."""
    reader = _Reader(words, condition, today)
    open_places = sorted(places)
    at, allowed = 0, set(open_places)
    while at < len(open_places):
        place = open_places[at]
        end = place
        while end in allowed:
            end += 1
        taken = reader.take(place, end)
        at += taken
    return reader.done()


class _Reader:
    """Goes through words from left to right; each step takes one word or more."""

    def __init__(self, words: Sequence[str], condition: Condition, today: date) -> None:
        self.words = list(words)
        self.condition = condition
        self.today = today
        self.fields = Fields()
        self.steps: tuple[Callable[[int, list[str]], int], ...] = (
            self._side_or_severity,
            self._speaker,
            self._answer,
            self._marked_day,
            self._reading,
            self._span,
            self._day,
        )

    def take(self, place: int, end: int) -> int:
        """How many of the words from `place` on, up to `end`, were read in this step."""
        run = self.words[place:end]
        for step in self.steps:
            taken = step(place, run)
            if taken:
                return taken
        denial = run[0] in NEGATIONS and len(run) == 1  # of a detail, read with it
        known = run[0] in FILLERS | JOINS | SAYS or VERTEBRA.fullmatch(run[0])
        if not known and not denial:
            self.fields.unknown.append(run[0])
        return 1

    def done(self) -> Fields:
        """The fields; for what is counted from an event, the beginning is the event."""
        if self.condition.timed is Timed.AFTER and self.fields.event is None:
            self.fields.event, self.fields.since = self.fields.since, None
        return self.fields

    def _side_or_severity(self, place: int, run: list[str]) -> int:
        word, said = run[0], self.fields
        if word in SIDES:
            side = SIDES[word]
            said.side = side if said.side in (Side.NONE, side) else Side.BOTH
            return 1
        if word in SEVERITIES and self._no(place):
            self.fields.unknown.append(word)  # "not controlled", "not bad": to be asked
            return 1
        if word in SEVERITIES:
            self._worse(SEVERITIES[word])
            return 1
        if word in ("today", "now") and self.condition.timed is Timed.NONE:
            self._worse(Severity.ACUTE)
            said.since = said.since or self.today
            return 1
        return 0

    def _worse(self, severity: Severity) -> None:
        now = self.fields.severity
        if now is None or ORDER.index(severity) > ORDER.index(now):
            self.fields.severity = severity

    def _speaker(self, place: int, run: list[str]) -> int:
        """ "says physio", "physio says", "according to the surgeon"."""
        if len(run) > 1 and run[0] in ROLES and run[1] in SAYS:
            self.fields.said_by = run[0]
            return 2
        if run[0] == "dr" and len(run) > 2 and run[2] in SAYS:
            self.fields.said_by = " ".join(run[:2])
            return 3
        if run[0] in SAYS and run[1:2] and run[1] not in NEGATIONS:
            at = 2 if run[1:2] in (["the"], ["her"], ["his"], ["my"]) else 1
            who = run[at : at + (2 if run[at : at + 1] == ["dr"] else 1)]
            who = [word for word in who if word not in JOINS]
            if who:
                self.fields.said_by = " ".join(who)
                return at + len(who)
        if run[0] in ROLES and run[1:2] and run[1] in ANSWER:
            return 0 if self._no(place) else self._answer(place, run)
        if run[0] in CLINICIANS and not self.fields.said_by:
            self.fields.said_by = run[0]
            return 1
        return 0

    def _answer(self, place: int, run: list[str]) -> int:
        """ "cleared by gp 3 may", "gp cleared": a clinician's answer; never from "not cleared"."""
        at = 1 if run[0] in ROLES else 0
        if run[at : at + 1] == [] or run[at] not in ANSWER:
            return 0
        if self._no(place + at):
            self.fields.unknown.append(f"{self.words[place + at - 1]} {run[at]}")
            return at + 1
        who = run[0] if at else ""
        at += 1
        if run[at : at + 1] in (["by"], ["from"]):
            at += 1 + (run[at + 1 : at + 2] in (["the"], ["her"], ["his"], ["my"]))
            if at < len(run) and run[at] not in JOINS:
                who, at = run[at], at + 1
        if not who:
            self.fields.unknown.append("cleared")  # by whom is a question, not an answer
            return at
        day = self._day_after(run, at, forward=False)
        self.fields.answered = day.day if day and day.day <= self.today else self.today
        self.fields.answered_by = who
        return at + (day.taken if day else 0)

    def _no(self, place: int) -> bool:
        return place > 0 and self.words[place - 1] in NEGATIONS

    def _marked_day(self, _: int, run: list[str]) -> int:
        """A day with a word before it that says what it is."""
        word = run[0]
        if word not in BEGAN | UNTIL | AGAIN | {"due"}:
            return 0
        at = 1
        while at < len(run) and run[at] in OPEN | AGAIN and not self._future_span(run, at):
            at += 1
        day = self._day_after(run, at, forward=word not in BEGAN)
        if day is None:
            return 0
        if word in BEGAN:
            if day.day > self.today:
                return 0
            self._begun(day)
        elif word == "due" and self.condition.timed is Timed.PREGNANCY:
            if day.day - self.today > TERM:
                return 0
            self.fields.due = day.day
        else:
            self.fields.review = day.day
        return at + day.taken

    def _future_span(self, run: list[str], at: int) -> bool:
        return run[at] == "in" and read_span(run[at + 1 :]) is not None

    def _begun(self, day: ReadDay) -> None:
        """An event or beginning; an event that may be still to come is left to be asked."""
        if self.condition.timed is not Timed.AFTER:
            self.fields.since = day.day
        elif day.guessed_year and self.today - day.day > LONG_AGO:
            self.fields.unknown.append(f"{day.day.day} {tuple(MONTHS)[day.day.month - 1]}")
        else:
            self.fields.event = day.day

    def _reading(self, place: int, run: list[str]) -> int:
        """ "bp 165/95", "glucose 4.9": a reading as the details it means."""
        names = {detail.id for detail in self.condition.details}
        if found := re.fullmatch(r"(\d{2,3})/(\d{2,3})", run[0]):
            systolic, diastolic = int(found[1]), int(found[2])
            if systolic >= 70 and any(name.startswith("over ") for name in names):
                self._add(d for d in pressure_details(systolic, diastolic) if d in names)
                return 1
        if found := re.fullmatch(r"(\d{1,3}(?:\.\d)?)", run[0]):
            if "glucose under 4" not in names or (run[1:2] and run[1] in {*UNITS, *MONTHS}):
                return 0
            level = float(found[1])
            self._add([glucose_detail(level / MG_A_MMOL if level > MOST_MMOL else level)])
            return 1
        return 0

    def _add(self, details: Iterable[str]) -> None:
        self.fields.details += [d for d in details if d and d not in self.fields.details]

    def _span(self, place: int, run: list[str]) -> int:
        """A span: weeks of a pregnancy, weeks after an event, or how long it has been so."""
        if self._future_span(run, 0):
            ahead = read_span(run[1:])
            taken = 1 + (ahead[1] if ahead else 0)
            self.fields.unknown.append(" ".join(run[:taken]))
            return taken
        found = read_span(run)
        if run[0] == "week" and run[1:2] and run[1].isdigit():
            found = Span(days=7 * int(run[1])), 2
        if found is None:
            return 0
        span, taken = found
        taken += run[taken : taken + 1] == ["ago"]
        if self.condition.timed is Timed.PREGNANCY:
            if span.months or not 7 <= span.days <= MOST_PREGNANT:
                self.fields.unknown.append(" ".join(run[:taken]))
            else:
                self.fields.due = self.today + TERM - timedelta(days=span.days)
            return taken
        day = moved(self.today, span, -1)
        if day:
            self._begun(ReadDay(day, taken))
        return taken

    def _day(self, place: int, run: list[str]) -> int:
        """A day by itself: of the event, or of the beginning."""
        before = self.words[place - 1] if place else ""
        lone = run[0] in MONTHS or run[0] in WEEKDAYS
        if (lone and before not in ("in", "on", "of", "last")) or run[0] in ("a", "an"):
            return 0
        day = read_day(run, self.today, forward=False)
        if day is None or (run[0] in NEAR and run[0] != "yesterday"):
            return 0
        if self.condition.timed is Timed.PREGNANCY or day.day > self.today:
            self.fields.unknown.append(" ".join(run[: day.taken]))
        else:
            self._begun(day)
        return day.taken

    def _day_after(self, run: list[str], at: int, forward: bool) -> ReadDay | None:
        return read_day(run[at:], self.today, forward) if at < len(run) else None

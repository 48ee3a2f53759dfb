"""Reminders in words: what is kept, what is said when it is due, what was let pass."""

from collections.abc import Sequence
from datetime import datetime, time

from bot.wording.diary import every, when
from bot.wording.phrases import count, moment, wrapped
from core.recurrence import parse_rule
from core.reminder import Kind, Reminder, Rhythm

KEPT = "I'll remind you: {text}. {when}."
ASK_KEPT = "I'll ask you about {name}: {text}. {when}."
NONE = "No reminders. Say it like: remind me fri 9am order springs"
LIST = "I'll say:"
OPEN = "Still open:"
DONE = "Done: {text}."
DONE_ASK = "Done: {text}. Anything to write down about {name}?"
LATER = "Again {when}: {text}."
WHEN = "When? Tap, or type a time like fri 9:00."
PAUSED_ALL = "Paused: I say nothing by myself until you say resume."
PAUSED = "Paused: {text}. To go on: resume {number}"
RESUMED_ALL = "I go on from here. {next}"
RESUMED = "On again: {text}, {when}."
NEVER = "it is not due any more"
NOT_PAUSED = "Nothing was paused."
QUIET = "Quiet from {begin} to {end}: what falls due then comes at {end}."
QUIET_OFF = "No quiet hours any more."
DIGEST = "Each evening at {clock} I say what tomorrow needs, if there is anything."
DIGEST_OFF = "No digest in the evening any more. To see it at any time: digest"
LEAD = "I announce each class {minutes} before it begins.{quiet}"
LEAD_QUIET = " In your quiet hours I don't."
LEAD_OFF = "I announce classes no more."
IN_QUIET = "That is in your quiet hours, so it comes at {end}."
WHILE_AWAY = "You are away then."
IS_PAUSED = "Reminders are paused now; say resume to hear it."
RHYTHM = "{digest} {lead} {quiet}"
NO_DIGEST, NO_LEAD, NO_QUIET = "No digest.", "Classes are not announced.", "No quiet hours."
DUE = "Reminder: {text}"
ASK = "Ask {name}: {text}"
WAS_DUE = "(was due {when})"
LEAD_SAID = "{what} at {clock}, {far}."
TOO_LATE = "I could not say this in time, and it is over now: {what}. I left it out."
MISSED_DIGEST = "what {day} needed"
MISSED_LEAD = "{who} at {when}"
DONE_BUTTON, HOUR_BUTTON, TOMORROW_BUTTON, PICK_BUTTON = "Done", "In 1 h", "Tomorrow", "Pick a time"
PLAN_NOW, NOTE_BUTTON = "Plan it now", "Write a note"
PAUSE_BUTTON = "Pause"
EVENING, MORNING, MONDAY = "This evening", "Tomorrow 9:00", "Monday 9:00"
NOTHING_TOMORROW = "Nothing for tomorrow, {day}, and no question open."
ON_OTHER_CLOCK = "{when} ({zone} time)"


def kept(reminder: Reminder, name: str, start: datetime, now: datetime, rule: str | None) -> str:
    """What is kept, and when it is said."""
    said = when(start, now)
    if rule:
        said += f", then {every(parse_rule(rule))}"
    if reminder.kind is Kind.FOLLOW_UP:
        return ASK_KEPT.format(name=name, text=_end(reminder.text), when=said)
    return KEPT.format(text=_end(reminder.text), when=said)


def line(reminder: Reminder, name: str, wall: datetime | None) -> str:
    """One reminder of the list."""
    text = f"{name}: {reminder.text}" if name else reminder.text
    at = moment(wall) if wall else ""
    if reminder.recurs and reminder.cadence and reminder.cadence.rule:
        often = every(parse_rule(reminder.cadence.rule))
        at = f"{at}, {often}" if at else often
    if reminder.paused:
        at = f"{at}, paused".lstrip(", ")
    return wrapped(f"{reminder.id}. {at}: {text}" if at else f"{reminder.id}. {text}", "   ")


def listed(open_: Sequence[str], coming: Sequence[str], more: int) -> str:
    """What waits for an answer, and what is to be said."""
    if not open_ and not coming:
        return wrapped(NONE)
    said = [*([OPEN, *open_] if open_ else ()), *([LIST, *coming] if coming else ())]
    if more:
        said.append(f"and {more} more.")
    return "\n".join(said)


def due(reminder: Reminder, name: str, late: datetime | None) -> str:
    """A reminder as it is said; `late` is when it should have been."""
    if reminder.kind is Kind.FOLLOW_UP:
        said = ASK.format(name=name, text=reminder.text)
    else:
        said = DUE.format(text=reminder.text)
    if late:
        said += f" {WAS_DUE.format(when=moment(late))}"
    return wrapped(said)


def rhythm(kept_: Rhythm) -> str:
    """When she hears something by itself."""
    digest = DIGEST.format(clock=_clock(kept_.digest)) if kept_.digest else NO_DIGEST
    lead = LEAD.format(minutes=minutes(kept_.lead), quiet="") if kept_.lead else NO_LEAD
    hours = quiet(kept_.quiet) if kept_.quiet else NO_QUIET
    said = RHYTHM.format(digest=digest, lead=lead, quiet=hours)
    return wrapped(f"{said} {PAUSED_ALL}" if kept_.paused else said)


def quiet(hours: tuple[time, time]) -> str:
    """Between which times nothing is said."""
    return QUIET.format(begin=_clock(hours[0]), end=_clock(hours[1]))


def minutes(number: int) -> str:
    """ "30 minutes", "2 hours"."""
    if number % 60 == 0:
        return count(number // 60, "hour")
    return count(number, "minute")


def clock(at: time) -> str:
    """ "7:00"."""
    return _clock(at)


def _clock(at: time) -> str:
    return f"{at.hour}:{at.minute:02}"


def _end(text: str) -> str:
    return text.rstrip(" .")

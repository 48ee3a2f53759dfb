"""The evening before: what tomorrow needs, class by class."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from bot.wording.cautions import ASK_ALL, STOP_ALL
from bot.wording.phrases import count, listed, wrapped
from core.caution import Kind, Verdict

TOMORROW, TODAY = "Tomorrow, {day}: {count}.", "Today, {day}: {count}."
OPEN = "Still to ask:"
PLANNED, NOT_PLANNED = "planned", "not planned yet"
COMING = "Comes: {names}."
NOTHING_TOLD = "I have been told of nobody in it."
BEGINS = "Begins with {name}, {apparatus}: {springs}."
BEGINS_PLAIN = "Begins with {name}, {apparatus}."
SAYS = {
    Kind.MODIFY: "modify {at}",
    Kind.SWAP: "swap {at}",
    Kind.LEAVE_OUT: "leave out {at}",
    Kind.ASK_FIRST: "ask first {at}",
}
PLAN, SHOW, MODS, ASKED = "Plan {when}", "Show {when}", "Who needs what {when}", "Done {number}"
NEEDS = "{name}: {what}"


def head(day: date, number: int, *, today: bool) -> str:
    """ "Tomorrow, Tue 1 Dec: 2 classes."."""
    words = TODAY if today else TOMORROW
    return wrapped(
        words.format(day=f"{day:%a} {day.day} {day:%b}", count=count(number, "class", "classes"))
    )


def lesson(wall: datetime, what: str, *, planned: bool) -> str:
    """ "18:00 dawn, chair 50 min, planned"."""
    return wrapped(f"{wall:%H:%M} {what}, {PLANNED if planned else NOT_PLANNED}", "  ")


def on_day(wall: datetime, text: str) -> str:
    """What is said of a lesson, with its day before it."""
    first, *rest = text.replace("\n  ", " ").splitlines()
    return "\n".join([wrapped(f"{wall:%a} {wall.day} {wall:%b} {first}", "  "), *rest])


def coming(names: Sequence[str]) -> str:
    """Who comes."""
    if not names:
        return wrapped(NOTHING_TOLD)
    return wrapped(COMING.format(names=listed(names)))


def begins(name: str, apparatus: str, springs: str) -> str:
    """How the apparatus is set for the first movement."""
    words = BEGINS if springs else BEGINS_PLAIN
    return wrapped(words.format(name=name, apparatus=apparatus, springs=springs))


def needs(name: str, found: Iterable[tuple[int, Verdict]]) -> str:
    """Where a person does something else, on one line; empty when nowhere."""
    at: dict[Kind, list[str]] = {}
    for place, verdict in found:
        if verdict.kind is Kind.FINE:
            continue
        if verdict.kind is Kind.ASK_FIRST and any(reason.binding for reason in verdict.reasons):
            said = STOP_ALL if verdict.stop else ASK_ALL
            return wrapped(NEEDS.format(name=name, what=said), "  ")
        at.setdefault(verdict.kind, []).append(str(place))
    if not at:
        return ""
    what = "; ".join(SAYS[kind].format(at=listed(places)) for kind, places in at.items())
    return wrapped(NEEDS.format(name=name, what=what), "  ")


def minded(name: str, flags: Sequence[str]) -> str:
    """What is minded about a person, while there is no plan to look at."""
    return wrapped(NEEDS.format(name=name, what="; ".join(flags)), "  ")


def open_question(number: int, name: str, text: str) -> str:
    """A question that waits."""
    return wrapped(f"· {number}. {name}: {text}", "  ")

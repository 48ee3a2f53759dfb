"""Messages that could not be brought, in words."""

from collections.abc import Sequence
from zoneinfo import ZoneInfo

from bot.wording.phrases import count, moment, wrapped
from storage.mail import Problem

NONE = "No problems: every message has been answered and every answer was taken."
SOME = "This could not be done. Try it again, or forget it:"
AGAIN = "Again"
FORGET = "Forget"
TRIED = "{messages} will be tried again now."
FORGOTTEN = "{messages} forgotten. Nothing of it is sent."
KINDS = {
    "letter": ("message not taken", "messages not taken"),
    "update": ("message not answered", "messages not answered"),
}
WHY = {
    "Forbidden": "the chat is closed to me",
    "BadRequest": "the channel refused it",
    "NetworkError": "the channel was away for a day",
    "TimedOut": "the channel was away for a day",
    "WorkerDied": "I broke down over it, three times",
}


def told(problems: Sequence[Problem], zone: ZoneInfo) -> str:
    """What could not be done, kind by kind."""
    if not problems:
        return wrapped(NONE)
    return "\n\n".join((wrapped(SOME), *(_line(each, zone) for each in problems)))


def tried(number: int) -> str:
    """How much is tried again."""
    return wrapped(TRIED.format(messages=count(number, "message")) if number else NONE)


def forgotten(number: int) -> str:
    """How much is forgotten."""
    return wrapped(FORGOTTEN.format(messages=count(number, "message")) if number else NONE)


def _line(problem: Problem, zone: ZoneInfo) -> str:
    what = count(problem.count, *KINDS[problem.kind])
    chats = count(problem.chats, "chat")
    first, last = (moment(at.astimezone(zone)) for at in (problem.first, problem.last))
    when = first if first == last else f"{first} to {last}"
    why = WHY.get(problem.error, problem.error)
    return wrapped(f"· {what} in {chats}, {when}: {why} ({problem.error})", "  ")

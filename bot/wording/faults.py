"""A sentence for every error the sender can put right: what is wrong, and what to do."""

from bot.errors import (
    CalendarFileError,
    DescribedError,
    MissingWordError,
    NoClassOnError,
    NoMatchError,
    NoPlanYetError,
    NoSuchClassError,
    NoSuchDayError,
    NoSuchFlagError,
    NoSuchGroupError,
    NoSuchPlaceError,
    NoSuchPlanError,
    NoSuchReminderError,
    NotHersError,
    NothingToUndoError,
    NotText,
    OutOfRangeError,
    RefusedError,
    SpringsError,
    TooLongError,
    TwiceError,
    UnclearDateError,
    UnknownCommandError,
    UnknownWordError,
    UserError,
    WhoError,
)

CALENDAR_FILE = {
    "large": "That calendar is too large for me: 300 kB at the most. Send a shorter time of it.",
    "many": "That calendar has more than 400 entries. Send a shorter time of it.",
    "empty": "I find no entries in that calendar. Is it the right file?",
    "broken": "I can't read that file as a calendar. Export it again as .ics and send it anew.",
}
SHOWN = 40  # characters of her own words repeated back


def sentence(error: UserError) -> str:
    """What went wrong and what to do; nothing has been done."""
    match error:
        case UnknownWordError(word=word, guesses=guesses):
            return f"I don't know “{_cut(word)}” here. Nothing is changed. {_ask(bool(guesses))}"
        case UnknownCommandError(word=word, guesses=guesses):
            ask = "Did you mean one of these?" if guesses else "Try plan 50 chair, or help."
            return f"I can't start with “{_cut(word)}”. {ask}"
        case MissingWordError(after=after, example=example):
            return f"What comes after “{after}”? Say it like: {example}"
        case TwiceError(what=what, values=values):
            said = " and ".join(values)
            return f"You gave two values for {what}: {said}. Say it again with one."
        case OutOfRangeError(value=value, low=low, high=high, unit=unit):
            return f"{_cut(value)} is out of range: I take {low} to {high} {unit}.".strip()
        case TooLongError(length=length, most=most):
            return f"That is {length} characters; I read up to {most}. Say it shorter."
        case NotText():
            return "There is nothing I can read in that. Try plan 50 chair, or help."
        case NoPlanYetError():
            return "There is no plan yet. Try plan 50 chair."
        case NoSuchPlaceError(place=place, last=last):
            return f"The class has no number {place}: it runs from 1 to {last}."
        case NoSuchPlanError(number=number):
            if number is None:
                return "The last plan no longer opens. Make a new one with plan."
            return f"I don't have plan #{number}, or it no longer opens. Make a new one with plan."
        case UnclearDateError(text=text, why=why):
            return f"I can't use “{_cut(text)}”: {why}{'' if why.endswith('?') else '.'}"
        case NoMatchError(typed=typed):
            return f"I know no exercise called “{_cut(typed)}”. Try fewer or other words."
        case RefusedError(why=why):
            return f"That can't be done: {why}. Nothing is changed."
        case NothingToUndoError(forward=forward):
            return f"There is nothing {'later' if forward else 'earlier'} to go to."
        case NoSuchClassError(typed=typed, names=names):
            known = f"There is: {', '.join(names[:8])}." if names else "You have kept none yet."
            return f"I have no class called “{_cut(typed)}”. {known}"
        case NotHersError(typed=typed, names=names):
            yours = f"Yours are: {', '.join(names)}." if names else "You have none of your own yet."
            return f"No exercise of your own is called “{_cut(typed)}”. {yours}"
        case WhoError(typed=typed, guesses=guesses):
            if guesses:
                return f"Nobody is called exactly “{_cut(typed)}”. Whom do you mean?"
            return f"I know nobody called “{_cut(typed)}”. To keep somebody, say client add ANA."
        case NoClassOnError(day=day):
            return f"I know of no class on {day}. Plan one with a day and a time, like tue 18:00."
        case NoSuchDayError():
            return "I have no such holiday. To see them, say away."
        case NoSuchReminderError(number=number):
            return f"There is no reminder {number} any more. To see what there is: reminders."
        case NoSuchGroupError(typed=typed, names=names):
            known = f"There is: {', '.join(names[:8])}." if names else "There is none yet."
            return f"I have no group called “{_cut(typed)}”. {known[:100]}"
        case NoSuchFlagError(typed=typed, guesses=guesses):
            ask = (
                "Which one do you mean?" if guesses else "There is nothing to take away or change."
            )
            return f"I find no single flag “{_cut(typed)}”. {ask}"
        case CalendarFileError(why=why):
            return CALENDAR_FILE.get(why, CALENDAR_FILE["broken"])
        case SpringsError(why=why) | DescribedError(why=why):
            return f"{why[:1].upper()}{why[1:]}."
        case _:
            raise TypeError(f"no sentence for {type(error).__name__}")


def _ask(guesses: bool) -> str:
    return "Did you mean one of these?" if guesses else "Leave it out or say it otherwise."


def _cut(text: str) -> str:
    return text if len(text) <= SHOWN else text[: SHOWN - 1] + "…"

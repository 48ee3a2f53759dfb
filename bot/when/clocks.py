"""Times of day: "18:00", "18h30", "6.30pm", "half past 6", "noon", and spans of hours."""

import re
from collections.abc import Callable

from bot.when.parts import (
    Clock,
    Length,
    NotADateError,
    Part,
    Piece,
    Setting,
    Span,
    Sure,
    Vague,
    WhenError,
)
from bot.when.words import MONTH_NAMES, NUMBER, NUMBERS, number

HALF = r"(?: ?(am|pm))?"
SPOKEN = {"half": 30, "quarter": 15, "five": 5, "ten": 10, "twenty": 20, "twenty five": 25}
SPOKEN_NUMBERS = "|".join(word for word in NUMBERS if word not in ("a", "an"))
LEAST_H = 7  # "7h" is a time of day, "2h" may be two hours (house choice)
LONGEST_HOURS = 72
LEAST_PLAIN_DIGITS = 2
NOON = 12
LONGEST_CLASS = 4 * 60  # minutes between the two times of "6-8pm" (house choice)

Reader = Callable[["re.Match[str]", Setting], tuple[Piece, ...]]


def half_day(hour: int, half: str, text: str) -> int:
    """The hour of 24 that "6 pm" is.

    Raises:
        WhenError: there is no such hour.
    """
    if not 1 <= hour <= 12:
        raise WhenError(f"{text} is no time of day")
    return hour % 12 + (12 if half == "pm" else 0)


def _digits(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    text, half = found[0], found[4]
    hour, dot, minute = int(found[1]), found[2] == ".", int(found[3])
    if half:
        if hour == NOON and half == "am":
            return _after_midnight(minute)
        hour = half_day(hour, half, text)
    if hour > 23 or minute > 59:
        raise WhenError(f"{text} is no time of day")
    if dot and not half and 1 <= minute <= 12 and hour:
        readings = (f"{hour:02}:{minute:02}", f"{hour} {MONTH_NAMES[minute - 1][:3]}")
        return (Vague("a time or a date?", readings),)
    if found[2] == "h" and not half and hour < LEAST_H and len(found[1]) < LEAST_PLAIN_DIGITS:
        readings = (f"{hour:02}:{minute:02}", f"in {hour}h{minute:02}")
        return (Vague("a time of day, or hours from now?", readings),)
    full = bool(half) or found[2] == "h" or hour > 12 or found[1].startswith("0")
    return (Clock(hour, minute, Sure.FULL if full or not hour else Sure.PLAIN),)


def _hour_h(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    hour = int(found[1])
    if hour > 23:
        raise WhenError(f"{found[0]} is no time of day")
    if hour < LEAST_H and not found[1].startswith("0"):
        readings = (f"{hour:02}:00", f"in {hour} hours")
        return (Vague("a time of day, or hours from now?", readings),)
    return (Clock(hour, 0),)


def _after_midnight(minute: int) -> tuple[Piece, ...]:
    """ "12am" is the midnight that ends or begins a day, or a slip for noon."""
    if minute:
        return (Vague("in the night or at midday?", (f"00:{minute:02}", f"12:{minute:02}")),)
    return (Vague("midnight or midday?", ("12:00", "23:59")),)


def _hour_half(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    if int(found[1]) == NOON and found[2] == "am":
        return _after_midnight(0)
    return (Clock(half_day(int(found[1]), found[2], found[0]), 0),)


def _oclock(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    word, half = found[1], found[2]
    hour = number(word)
    if half:
        return (Clock(half_day(hour, half, found[0]), 0),)
    return (_bare(hour, 0),)


def _spoken(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    minute = SPOKEN.get(found[1].replace("-", " ")) or number(found[1])
    before, hour, half = found[2] == "to", number(found[3]), found[4]
    if not 1 <= minute <= 30 or (before and minute > 29) or not 1 <= hour <= 24:
        raise WhenError(f"{found[0]} is no time of day")
    if half:
        hour = half_day(hour, half, found[0])
    shifted = (hour * 60 + (-minute if before else minute)) % (24 * 60)
    if half or hour > 12:
        return (Clock(*divmod(shifted, 60)),)
    shifted = shifted % 720 or 720
    return (Clock(shifted // 60 or 12, shifted % 60, Sure.BARE),)


def _half_six(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    hour = number(found[1])
    readings = (f"{hour}:30am", f"{hour}:30pm") if 1 <= hour <= 12 else ()
    return (Vague("half past?", readings),)


def _noon(_: "re.Match[str]", __: Setting) -> tuple[Piece, ...]:
    return (Clock(12, 0),)


def _midnight(_: "re.Match[str]", __: Setting) -> tuple[Piece, ...]:
    return (Part.MIDNIGHT,)


def _at_bare(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    text = found[1]
    if len(text) == 4:
        hour, minute = int(text[:2]), int(text[2:])
        readings = (f"{hour:02}:{minute:02}",) if hour < 24 and minute < 60 else ()
        return (Vague("a time of day?", readings),)
    return (_bare(number(text), 0),)


def _bare(hour: int, minute: int) -> Clock:
    if not 0 <= hour <= 24:
        raise NotADateError
    return Clock(hour, minute, Sure.BARE)


def _from_to(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    """ "6-7pm", "18:00-19:00": when it begins, and for how long."""
    begins = _may_be(found["h"], found["m"], found["half"], found[0])
    ends = _may_be(found["h2"], found["m2"], found["half2"] or found["half3"], found[0])
    fitting = {
        begin: end - begin for begin in begins for end in ends if 0 < end - begin <= LONGEST_CLASS
    }
    if not fitting:
        return (Vague("when does it begin? Say it like 18:00"),)
    lengths = set(fitting.values())
    length = (Length(lengths.pop()),) if len(lengths) == 1 else ()
    begin = min(fitting)
    if len(fitting) > 1:
        return (Clock(begin // 60, begin % 60, Sure.BARE), *length)
    return (Clock(*divmod(begin, 60)), *length)


def _may_be(hour: str, minute: str | None, half: str | None, text: str) -> list[int]:
    """The minutes of the day that a time may be."""
    number, past = int(hour), int(minute or 0)
    if half:
        number = half_day(number, half, text)
    if number > 23 or past > 59:
        raise WhenError(f"{text} is no time of day")
    hours = [number]
    if not half and 1 <= number <= NOON and not hour.startswith("0"):
        hours = [number % NOON, number % NOON + NOON]
    return [each * 60 + past for each in hours]


def _length(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    minutes = int(found[1]) if found[1] else 60
    return (Length(minutes),) if minutes else (Vague("for how long?"),)


def _hours(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    hours, minutes = found["hours"], found["minutes"] or found["only"]
    total = 0
    if hours:
        total = round(float(hours) * 60) if "." in hours else number(hours) * 60
    if found["half"]:
        total += 30
    return _span(total + (number(minutes) if minutes else 0), found[0])


def _half_hour(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    return _span(15 if "quarter" in found[0] else 30, found[0])


def _span(minutes: int, text: str) -> tuple[Piece, ...]:
    if not 1 <= minutes <= LONGEST_HOURS * 60:
        raise WhenError(f"{text} is too long to count from now; say the day", len(text.split()))
    return (Span(minutes),)


HOURS = r"(?:hours?|hrs?|h)"
MINUTES = r"(?:minutes?|mins?|m)"
SPAN = (
    rf"(?:(?P<hours>\d{{1,2}}(?:\.5)?|{NUMBER}) ?{HOURS}(?P<half> and a half)?"
    rf"(?:,? ?(?:and )?(?P<minutes>\d{{1,2}}) ?{MINUTES}?)?|(?P<only>{NUMBER}) ?{MINUTES})"
)
FROM_TO = (
    r"(?:from )?(?P<h>\d{1,2})(?:[:.h](?P<m>\d\d))?(?: ?(?P<half>am|pm))? ?(?:-|–|to) ?"
    r"(?P<h2>\d{1,2})(?:[:.h](?P<m2>\d\d)(?: ?(?P<half2>am|pm))?| ?(?P<half3>am|pm))"
)
SHAPES: tuple[tuple[str, Reader], ...] = (
    (rf"(\d{{1,2}})([:.h])(\d\d){HALF}(?: ?hrs| ?h)?", _digits),
    (r"(\d{1,2}) ?h", _hour_h),
    (r"(?:at )?(\d{1,2}) ?(am|pm)", _hour_half),
    (rf"(?:at )?(\d{{1,2}}|{SPOKEN_NUMBERS}) ?oclock{HALF}", _oclock),
    (FROM_TO, _from_to),
    (rf"for (?:(\d{{1,3}}) ?{MINUTES}|an hour|1 ?{HOURS})", _length),
    (
        rf"(?:a )?(half|quarter|twenty[- ]five|twenty|\d{{1,2}}|{SPOKEN_NUMBERS})(?: ?{MINUTES})? "
        rf"(past|to) (\d{{1,2}}|{SPOKEN_NUMBERS})(?: ?oclock)?{HALF}",
        _spoken,
    ),
    (rf"half (\d{{1,2}}|{SPOKEN_NUMBERS})", _half_six),
    (r"(?:12 )?(?:noon|midday)", _noon),
    (r"(?:12 )?midnight", _midnight),
    (rf"at (\d{{1,2}}|\d{{4}}|{SPOKEN_NUMBERS})", _at_bare),
    (r"(\d{1,2}|\d{4})", _at_bare),
    (rf"in (?:about )?{SPAN}(?: time)?", _hours),
    (rf"{SPAN} from now", _hours),
    (r"in (?:half an hour|(?:a )?half hour|(?:a )?quarter of an hour)", _half_hour),
)  # fmt: skip

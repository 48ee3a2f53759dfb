"""What recurs: "every tue and thu", "daily", "first monday of the month", and how it ends."""

import re
from datetime import date

from bot.when.clocks import Reader
from bot.when.parts import Filler, Lasting, Mark, Part, Piece, Repeat, Setting, Times, Vague
from bot.when.words import AND, DAY, DAY_WORDS, NUMBER, PLACE, PLACES, WEEKDAYS, number
from core.recurrence import DAYS

ALONE = {
    "daily": ("DAILY", 1), "weekly": ("WEEKLY", 1), "fortnightly": ("WEEKLY", 2),
    "every fortnight": ("WEEKLY", 2), "monthly": ("MONTHLY", 1), "yearly": ("YEARLY", 1),
    "annually": ("YEARLY", 1),
}  # fmt: skip
UNITS = {"day": "DAILY", "week": "WEEKLY", "month": "MONTHLY", "year": "YEARLY"}
MOST_APART = {"day": 60, "week": 12, "month": 12, "year": 1}  # more is a slip; house choice
MOST_TIMES = 400
LATE_IN_MONTH = 29  # not every month has such a day
WORK_WEEK = ";BYDAY=MO,TU,WE,TH,FR"


def _by(days: "list[str]") -> str:
    codes = {DAY_WORDS[day] for day in days}
    return ";BYDAY=" + ",".join(DAYS[k] for k in sorted(codes))


def by_date(day: date) -> str:
    """The part of a rule that names the weekday of that date."""
    return f";BYDAY={DAYS[day.weekday()]}"


def _weekdays(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    text = found["days"]
    days = [re.sub(r"s$", "", each) if each not in DAY_WORDS else each for each in _split(text)]
    part = found.groupdict().get("part")
    every = 2 if re.match("every other|each other", found[0]) else 1
    pieces: tuple[Piece, ...] = (Repeat("WEEKLY", every, _by(days)),)
    return (*pieces, Part(part.rstrip("s"))) if part else pieces


def _split(text: str) -> list[str]:
    return [each for each in re.split(r"[ ,&+/]+|\band\b", text) if each]


def _alone(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    frequency, interval = ALONE[found[0]]
    return (Repeat(frequency, interval, loose=frequency != "DAILY"),)


def _every(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    unit = found["unit"]
    many = 2 if found["other"] else number(found["many"] or "one")
    if not 1 <= many <= MOST_APART[unit]:
        return (Vague(f"every {many} {unit}s is further apart than can be kept"),)
    return (Repeat(UNITS[unit], many, loose=unit != "day"),)


def _every_part(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    return (Repeat("DAILY"), Part(found["part"]))


def _several(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    return (Repeat("WEEKLY", 1, _by(_split(found["days"])), unsaid=True),)


def _work_week(_: "re.Match[str]", __: Setting) -> tuple[Piece, ...]:
    return (Repeat("WEEKLY", 1, WORK_WEEK),)


def _mon_to_fri(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    return (Repeat("WEEKLY", 1, WORK_WEEK, unsaid=not found[0].startswith("every")),)


def _place(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    day = DAYS[DAY_WORDS[found["day"]]]
    places = [PLACES[each] for each in (found["place"], found["also"]) if each]
    return (Repeat("MONTHLY", 1, ";BYDAY=" + ",".join(f"{n}{day}" for n in places)),)


def _place_said(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    """ "last fri of every month"; "last fri of the month" may be this month's only."""
    if "every" in found[0] or "each" in found[0] or found["also"]:
        return _place(found, at)
    said = f"{found['place']} {found['day']}"
    month = f"{at.today:%B}".casefold()
    return (Vague("once, or every month?", (f"{said} of {month}", f"{said} of every month")),)


def _second(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    day, place = found["day"], found["place"]
    name = WEEKDAYS[DAY_WORDS[day]]
    weeks = {2: "every other", 3: "every 3 weeks on", 4: "every 4 weeks on"}[PLACES[place]]
    return (
        Vague(
            "weeks apart, or by the month?",
            (f"{weeks} {name}", f"{place} {name} of every month"),
        ),
    )


def _day_of_month(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    day = found["date"]
    if day is None:
        return (Repeat("MONTHLY", 1, ";BYMONTHDAY=-1"),)
    if not 1 <= int(day) < LATE_IN_MONTH:
        return (Vague("not every month has that day", ("last day of every month",)),)
    return (Repeat("MONTHLY", 1, f";BYMONTHDAY={int(day)}"),)


def _of_the_month(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    day = found["date"]
    return (Vague("once, or every month?", (f"the {day}", f"every month on the {day}")),)


def _unclear(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    return (Vague(f"{found[0]} can be two things; say it like every other week, or every 3 days"),)


def _which(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    return (Vague("which days?", ("every sat", "every sun", "every sat and sun")),)


def _from(_: "re.Match[str]", __: Setting) -> tuple[Piece, ...]:
    return (Mark.FROM,)


def _until(_: "re.Match[str]", __: Setting) -> tuple[Piece, ...]:
    return (Mark.UNTIL,)


def _until_when(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    return (Vague("until which day?"),)


def _times(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    many = number(found["many"] or found["many2"] or found["many3"])
    if not 1 <= many <= MOST_TIMES:
        return (Vague(f"{many} times can't be kept"),)
    return (Times(many),)


def _lasting(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    days = number(found["many"]) * (7 if found["unit"] == "week" else 1)
    return (Lasting(days),) if days else (Vague("for how long?"),)


def _filler(_: "re.Match[str]", __: Setting) -> tuple[Piece, ...]:
    return (Filler(),)


PART = r"(?P<part>morning|afternoon|evening|night)s?"
LIST = rf"(?P<days>{DAY}s?(?:{AND}{DAY}s?)*)"
FULL_DAYS = rf"(?:{'|'.join(WEEKDAYS)})"
SHAPES: tuple[tuple[str, Reader], ...] = (
    (rf"(?:every|each)(?: other| week on)? {LIST}(?: {PART})?", _weekdays),
    (rf"(?:on )?(?P<days>(?:{FULL_DAYS}s?{AND})*{FULL_DAYS}s)(?: {PART})?", _weekdays),
    ("|".join(sorted(ALONE, key=len, reverse=True)), _alone),
    (rf"(?:every|each) (?:(?P<other>other) |(?P<many>{NUMBER}) )?(?P<unit>day|week|month|year)s?",
     _every),
    (rf"(?:every|each) {PART}", _every_part),
    (rf"(?:on )?(?P<days>{DAY}(?:(?: and | ?[,&+/] ?(?:and )?){DAY})+)", _several),
    (r"(?:every |on )?(?:weekdays?|working days?|work days?)", _work_week),
    (r"(?:every )?mon(?:day)? ?(?:-|–|to) ?fri(?:day)?", _mon_to_fri),
    (rf"(?:on )?(?:the |every )?(?P<place>{PLACE})(?: and (?P<also>{PLACE}))? (?P<day>{DAY}) "
     r"(?:of|in) (?:the|every|each) month", _place_said),
    (rf"(?:every month|monthly) on (?:the )?(?P<place>{PLACE})(?: and (?P<also>{PLACE}))? "
     rf"(?P<day>{DAY})", _place),
    (rf"every (?P<place>first|1st|last)(?P<also>zz)? (?P<day>{DAY})", _place),
    (rf"every (?P<place>second|2nd|third|3rd|fourth|4th) (?P<day>{DAY})", _second),
    (r"(?:every month|monthly) on (?:the )?(?:(?P<date>\d{1,2})(?:st|nd|rd|th)?|last day)",
     _day_of_month),
    (r"(?:on )?(?:the )?(?:(?P<date>\d{1,2})(?:st|nd|rd|th)|last day) of (?:every|each) month",
     _day_of_month),
    (r"every (?P<date>\d{1,2})(?:st|nd|rd|th)(?: of (?:the|every|each) month)?", _day_of_month),
    (r"(?:on )?(?:the )?(?P<date>\d{1,2}(?:st|nd|rd|th)) of the month", _of_the_month),
    ("(?:bi|semi)-?(?:weekly|monthly)|(?:twice|two times|three times|once) (?:a|every) "
     "(?:day|week|month)|every few (?:days|weeks)|hourly|every hour|quarterly", _unclear),
    ("(?:every|each) weekend|(?:on |at )?weekends", _which),
    ("(?:from|starting|starting on|starting from|beginning|from the|as of)", _from),
    ("(?:until|till|til|untill|up to|up until)", _until),
    ("(?:until|till|til) (?:the )?(?:end of )?(?:the )?(?:term|season|summer|spring|autumn|winter|"
     "fall|school|further notice|holidays?|half term)", _until_when),
    (rf"(?P<many>{NUMBER}) times|x ?(?P<many2>\d{{1,3}})|(?P<many3>\d{{1,3}}) ?x", _times),
    (rf"for (?:the next )?(?P<many>{NUMBER}) (?P<unit>week|day)s?", _lasting),
    ("on|at|,|sharp|please|pls", _filler),
)  # fmt: skip

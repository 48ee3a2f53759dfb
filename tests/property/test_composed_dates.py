"""Date phrases put together from parts: what is read is what the parts say.

A day, a time of day, their order, what stands between them and how it is typed are combined; the
wall time they mean follows from the parts by arithmetic, without a pattern or table of the reader.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import product
from time import process_time
from zoneinfo import ZoneInfo

import pytest

from bot.when import Finder, NotADateError, When, WhenError, read

NOW = datetime(2026, 11, 25, 10, tzinfo=ZoneInfo("Europe/London"))  # a Wednesday
TODAY, CLOCK_NOW = NOW.date(), NOW.time()
ASKED_AT_MOST = 0.25  # of all phrases; which of them is told by the run
SLOW = 0.050  # seconds; a busy machine


@dataclass(frozen=True)
class Said:
    """Words, and the day or the minutes of the day they can mean."""

    words: str
    means: tuple[object, ...]


def on(weekday: int, weeks: int = 0) -> date:
    """The first day of that name from today on, so many weeks later."""
    day = TODAY
    while day.weekday() != weekday:
        day += timedelta(days=1)
    return day + timedelta(weeks=weeks)


DAYS = (
    *(Said(w, (on(0),)) for w in ("mon", "monday", "mnday", "Mon.", "on monday", "coming mon")),
    *(Said(w, (on(1),)) for w in ("tue", "tues", "tuesday", "tuseday", "teusday", "tuesdy")),
    *(Said(w, (on(2),)) for w in ("wed", "weds", "wednesday", "wensday", "wedensday")),
    *(Said(w, (on(3),)) for w in ("thu", "thurs", "thursday", "thurday", "thrusday", "thursdya")),
    *(Said(w, (on(4),)) for w in ("fri", "friday", "firday", "this fri", "fri 27 nov")),
    *(Said(w, (on(5),)) for w in ("sat", "saturday", "satuday", "sat 28 november")),
    *(Said(w, (on(6),)) for w in ("sun", "sunday", "sundya", "29 nov", "29th nov", "nov 29")),
    *(Said(w, (on(1, 1),)) for w in ("tue week", "a week on tue", "8 dec", "8th of december")),
    *(Said(w, (on(4), on(4, 1))) for w in ("next fri", "nxt friday")),
    *(Said(w, (on(0),)) for w in ("next mon", "nxt monday")),  # five days on: the coming one
    *(Said(w, (TODAY,)) for w in ("today", "2day")),
    *(Said(w, (TODAY + timedelta(days=1),)) for w in ("tomorrow", "tmrw", "2moro", "tomorow")),
    Said("5 decmber", (date(2026, 12, 5),)),
    Said("7 janurary", (date(2027, 1, 7),)),
)  # fmt: skip
CLOCKS = (
    *(Said(w, (time(18),)) for w in ("6pm", "6 pm", "6 p.m.", "18:00", "18h", "18.00", "18;00")),
    *(Said(w, (time(18),)) for w in ("at 6pm", "6-7pm", "18:00-19:00", "6pm sharp", "6PM")),
    *(Said(w, (time(18, 30),)) for w in ("6.30pm", "630pm", "18h30", "half past 6 pm", "6:30 pm")),
    *(Said(w, (time(6, 30), time(18, 30))) for w in ("6:30", "half past 6", "6.30")),
    *(Said(w, (time(7), time(19))) for w in ("at 7", "7:00", "7 oclock")),
    *(Said(w, (time(9, 30),)) for w in ("9:30", "9.30am", "9h30", "half past 9 am")),
    *(Said(w, (time(10),)) for w in ("10am", "10-11am", "10:00", "10h")),
    *(Said(w, (time(12),)) for w in ("noon", "midday", "12pm", "12:00")),
    *(Said(w, (time(0), time(12), time(23, 59))) for w in ("12am",)),
)  # fmt: skip
BETWEEN = (" ", " at ", ", ", " @ ", "  ", "")
CASES: tuple[Callable[[str], str], ...] = (str, str.upper, str.title)


def phrases() -> "list[tuple[str, frozenset[datetime]]]":
    """Each phrase with all that it can mean; every seventh of them, so that it stays quick."""
    found = {}
    for number, (day, clock, between, first, case) in enumerate(
        product(DAYS, CLOCKS, BETWEEN, (True, False), CASES)
    ):
        if number % 7 or (" at " in between and clock.words.startswith("at ")):
            continue
        if between in (" at ", " @ ") and not first:
            continue  # "6pm at tue" is nobody's order
        if between == "" and not (day.words.isalpha() and clock.words[0].isdigit() and first):
            continue
        words = (day.words, clock.words) if first else (clock.words, day.words)
        moments = {
            datetime.combine(d, c)
            for d in day.means
            for c in clock.means
            if isinstance(d, date) and isinstance(c, time)
        }
        if time(12) in clock.means and time(0) in clock.means:
            moments |= {each + timedelta(days=1) for each in moments if each.time() == time(0)}
        found[case(between.join(words))] = frozenset(moments)
    return list(found.items())


PHRASES = phrases()


def answered(words: str) -> When | None:
    """What is read; None for a question."""
    try:
        return read(words, NOW)
    except (WhenError, NotADateError):
        return None


def test_what_is_composed_is_right_or_asked() -> None:
    got: Counter[str] = Counter()
    asked, wrong, took = [], [], []
    for words, moments in PHRASES:
        started = process_time()
        found = answered(words)
        took.append(process_time() - started)
        if found is None:
            asked.append(words)
            got["rightly asked" if len(moments) > 1 else "asked"] += 1
            continue
        sure = moments if len(moments) == 1 else frozenset[datetime]()
        late = {each + timedelta(days=7) for each in sure if each <= NOW.replace(tzinfo=None)}
        if found.wall not in sure | late or found.rule or not found.timed:
            wrong.append((words, f"{found.wall}", sorted(map(str, moments))))
    p95 = sorted(took)[int(len(took) * 0.95)]
    share = got["asked"] / len(PHRASES)
    print(  # noqa: T201
        f"{len(PHRASES)} phrases, wrong {len(wrong)}, asked {share:.1%} needlessly and "
        f"{got['rightly asked'] / len(PHRASES):.1%} rightly, p95 {p95 * 1000:.2f} ms"
    )
    assert len(PHRASES) >= 300
    assert not wrong
    assert share <= ASKED_AT_MOST
    assert p95 < SLOW


@pytest.mark.parametrize(
    ("line", "rest"),
    [
        ("{} call MARCO about Frida", "call MARCO about Frida"),
        ("order springs {}", "order springs"),
        ("{} tell Augusta: may need a mat", "tell Augusta: may need a mat"),
        ("ring Tuscany Fredy {}", "ring Tuscany Fredy"),
    ],
)
def test_in_a_line_it_means_the_same_or_is_asked(line: str, rest: str) -> None:
    finder, read_lines = Finder(NOW), 0
    for words, _ in PHRASES[::5]:
        alone = answered(words)
        try:
            found = finder.find(line.format(words))
        except WhenError:
            continue
        if found and found.rest == rest:
            read_lines += 1
            assert alone is not None, words
            assert found.when.wall == alone.wall, words
    assert read_lines

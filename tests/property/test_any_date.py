"""Any words put together: a date that is read is to come, near, and what its words say."""

import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from bot.when import DAY_WORDS, Finder, NotADateError, Order, WhenError, read
from core.cadence import Cadence, next_after
from tests.unit.core.moments import wall

LONDON = ZoneInfo("Europe/London")
WORDS = (
    *DAY_WORDS, *"""today tomorrow tonight morning evening afternoon night noon midnight week month
    every other daily weekly until for from in at on of the and a an next this half quarter past to
    first last second 3rd 21st dec may march january 3/4 12/15 3.12 2026-12-01 18:00 7:30 18h 6pm
    9am 6.30pm 7 12 30 1830 2 days weeks hours min times easter christmas chair springs june 50 | x6
    fortnight weekend weekday end day before by""".split(),
)  # fmt: skip
PHRASES = st.lists(st.sampled_from(WORDS), min_size=1, max_size=6).map(" ".join)
NOWS = st.datetimes(wall("2026-01-01"), wall("2028-12-31")).map(
    lambda each: each.replace(tzinfo=LONDON, fold=0)
)


@settings(max_examples=1500, deadline=None, derandomize=True)
@given(PHRASES, NOWS, st.sampled_from(Order))
def test_what_is_read_is_to_come_and_agrees_with_its_words(
    phrase: str, now: datetime, order: Order
) -> None:
    try:
        found = read(phrase, now, order)
    except (WhenError, NotADateError):
        return
    local = now.replace(tzinfo=None)
    assert local < found.wall <= local + timedelta(days=397)
    words = phrase.split()
    until = words.index("until") if "until" in words else len(words)
    weekdays = {DAY_WORDS[word] for word in words[:until] if word in DAY_WORDS}
    if weekdays and "midnight" not in words:  # today's midnight is the end of today
        assert found.wall.weekday() in weekdays
    for hour, minute in re.findall(r"\b(\d\d?):(\d\d)\b", phrase):
        assert (found.wall.hour % 12, found.wall.minute) == (int(hour) % 12, int(minute))
    counted = {"weeks", "week", "days", "day", "fortnights"} & set(words)  # "50 weeks monday"
    if "chair" in words or "springs" in words or ("50" in words and not counted):
        raise AssertionError(phrase)
    cadence = Cadence(found.wall, "Europe/London", found.rule)
    first = next_after(cadence, now)
    assert first is not None
    assert first.wall == found.wall


@settings(max_examples=600, deadline=None)
@given(PHRASES, NOWS)
def test_a_line_is_split_without_losing_a_word(line: str, now: datetime) -> None:
    finder = Finder(now)
    try:
        found = finder.find(line)
    except WhenError:
        return
    if found:
        kept = sorted(f"{found.phrase} {found.rest}".replace("|", " ").split())
        assert kept == sorted(line.replace("|", " ").split())
        assert finder.read(found.phrase).wall == found.when.wall

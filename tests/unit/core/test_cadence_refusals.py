"""Rules, zones and times that can't be, each refused when the value is built."""

import pytest

from core.cadence import Cadence, next_after
from core.errors import CadenceError
from tests.unit.core.moments import utc, wall

LONDON = "Europe/London"


@pytest.mark.parametrize(
    "rule",
    [
        "", "TUESDAYS", "FREQ=", "FREQ=HOURLY", "FREQ=SECONDLY", "FREQ=WEEKLY;FREQ=DAILY",
        "FREQ=WEEKLY;", "FREQ=WEEKLY;COUNT=3;UNTIL=20261224", "FREQ=WEEKLY;COUNT=0",
        "FREQ=WEEKLY;COUNT=-1", "FREQ=WEEKLY;COUNT=99999", "FREQ=WEEKLY;COUNT=٣",
        "FREQ=WEEKLY;INTERVAL=0", "FREQ=WEEKLY;INTERVAL=521", "FREQ=WEEKLY;INTERVAL=x",
        "FREQ=WEEKLY;BYDAY=1TU", "FREQ=WEEKLY;BYDAY=XX", "FREQ=WEEKLY;BYDAY=",
        "FREQ=MONTHLY;BYDAY=0MO", "FREQ=MONTHLY;BYDAY=6MO", "FREQ=WEEKLY;WKST=XX",
        "FREQ=YEARLY;BYWEEKNO=20",
        "FREQ=WEEKLY;UNTIL=tomorrow", "FREQ=WEEKLY;UNTIL=20261332", "FREQ=DAILY;BYHOUR=9,17",
        "FREQ=DAILY;BYEASTER=0", "FREQ=DAILY;BYMONTH=2", "FREQ=DAILY;INTERVAL=7;BYDAY=TU",
        "FREQ=MONTHLY;BYMONTHDAY=32", "FREQ=MONTHLY;BYMONTHDAY=0", "FREQ=YEARLY;BYMONTH=-1",
        "FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=30", "FREQ=WEEKLY;BYDAY=MO,TU;BYSETPOS=3",
        "FREQ=YEARLY;BYMONTH=4;BYMONTHDAY=31", "FREQ=MONTHLY;BYMONTHDAY=13;BYSETPOS=2",
        "FREQ=MONTHLY;INTERVAL=12;BYMONTH=3", "FREQ=YEARLY;INTERVAL=4;BYMONTH=2;BYMONTHDAY=29",
    ],
)  # fmt: skip
def test_a_rule_that_can_not_be_is_refused(rule: str) -> None:
    with pytest.raises(CadenceError):
        Cadence(wall("2026-11-25 18:00"), LONDON, rule)


@pytest.mark.parametrize(
    "zone", ["", "London", "Europe/Nowhere", "../../etc/passwd", "Europe", "/"]
)
def test_a_zone_that_is_none_is_refused(zone: str) -> None:
    with pytest.raises(CadenceError):
        Cadence(wall("2026-11-25 18:00"), zone)


def test_a_start_with_a_zone_and_an_instant_without_are_refused() -> None:
    with pytest.raises(CadenceError):
        Cadence(utc("2026-11-25 18:00"), LONDON)
    with pytest.raises(CadenceError):
        Cadence(wall("2026-11-25 18:00:00.5"), LONDON)
    with pytest.raises(CadenceError):
        Cadence(wall("2026-11-25 18:00"), LONDON, None, frozenset({wall("2026-11-25 18:00")}))
    with pytest.raises(CadenceError):
        next_after(Cadence(wall("2026-11-25 18:00"), LONDON), wall("2026-11-25 18:00"))

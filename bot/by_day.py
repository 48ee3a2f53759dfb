"""Plans by the day of their class: shared by the actions that are asked about a day."""

from datetime import date, datetime, time

from bot.desk import Desk
from bot.errors import NoClassOnError
from bot.when import NotADateError, WhenError
from bot.wording import people
from core.saved import DatedPlan


def day_named(typed: str, desk: Desk) -> date | None:
    """The day that all of these words name."""
    try:
        named = desk.context.dates.named(typed)
    except (NotADateError, WhenError):
        return None
    return None if named.clock else named.day


def plans_of(day: date, desk: Desk) -> list[DatedPlan]:
    """The plans of the classes of a day, by their beginning; there may be none."""
    return desk.store.plans_between(
        datetime.combine(day, time.min), datetime.combine(day, time.max)
    )


def plans_on(day: date, desk: Desk) -> list[DatedPlan]:
    """The plans of the classes of a day, by their beginning.

    Raises:
        NoClassOnError: there is none.
    """
    found = plans_of(day, desk)
    if not found:
        raise NoClassOnError(people.day(day))
    return found

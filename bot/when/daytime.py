"""A time of day from what the clock and the part of the day say: "7" and "in the evening"."""

from datetime import datetime, time, timedelta

from bot.when.parts import Clock, Part, Sure, WhenError

USUAL = {Part.MORNING: time(9), Part.EVENING: time(18), Part.NIGHT: time(20)}  # house choices
EARLIEST = (
    8  # "tue 6:30" may be before work or after it: asked; "9:30" is the morning (house choice)
)
USUAL_TIMES = ("9:00", "18:00")  # offered where what recurs says none
HOURS = {  # part of the day -> the hours it can mean
    Part.MORNING: range(4, 12),
    Part.AFTERNOON: range(12, 19),
    Part.EVENING: range(16, 24),
    Part.NIGHT: range(17, 24),
}


def time_of_day(clock: Clock | None, part: Part | None) -> time | None:
    """The one time that fits both; None where neither is said.

    Raises:
        WhenError: they disagree, or leave morning or evening open.
    """
    if clock is None:
        if part is None:
            return None
        if part not in USUAL:
            raise WhenError(f"which time in the {part.value}? Say it like 15:00")
        return USUAL[part]
    if part is None:
        return _alone(clock)
    hours = [clock.hour]
    if clock.sure is not Sure.FULL and clock.hour <= 12:
        hours = [clock.hour % 12, clock.hour % 12 + 12]
    fitting = [hour for hour in hours if hour in HOURS[part]]
    if len(fitting) != 1:
        shown = f"{clock.hour}:{clock.minute:02}"
        raise WhenError(f"{shown} and {part.value} do not go together")
    return time(fitting[0], clock.minute)


def which_time(text: str) -> WhenError:
    """The question about a phrase that recurs and says no time of day."""
    return WhenError("at which time?", readings=tuple(f"{text} {each}" for each in USUAL_TIMES))


def which_day(part: Part) -> tuple[str, ...]:
    """The days that a part of the day alone may mean, as they would be said."""
    return ("tonight",) if part is Part.NIGHT else (f"this {part.value}", f"tomorrow {part.value}")


def whole_minute(moment: datetime) -> datetime:
    """The next whole minute, so that nothing comes early."""
    whole = moment.replace(second=0, microsecond=0)
    return whole if whole == moment else whole + timedelta(minutes=1)


def _alone(clock: Clock) -> time:
    hour, minute = clock.hour, clock.minute
    if clock.sure is Sure.FULL or (clock.sure is Sure.PLAIN and hour >= EARLIEST):
        return time(hour, minute)
    tail = f":{minute:02}" if minute else ""
    if 1 <= hour <= 12:
        readings = (f"{hour}{tail}am", f"{hour}{tail}pm")
        raise WhenError("in the morning or the evening?", 2, readings)
    if hour > 23:
        raise WhenError(f"{hour} is no time of day", 2)
    raise WhenError(f"say it like {hour}:{minute:02}", 2, (f"{hour}:{minute:02}",))

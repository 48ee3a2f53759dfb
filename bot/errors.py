"""What the sender can put right; each is one sentence in `wording/faults.py`."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Guess:
    """A reading that may have been meant: what to show, and the whole line it would make."""

    label: str
    line: str


class UserError(Exception):
    """Something the sender can put right; nothing has been done."""


class UnknownWordError(UserError):
    """A word that means nothing here; with the nearest meanings."""

    def __init__(self, word: str, guesses: tuple[Guess, ...] = ()) -> None:
        super().__init__(word)
        self.word = word
        self.guesses = guesses


class UnknownCommandError(UserError):
    """A message that begins with no command."""

    def __init__(self, word: str, guesses: tuple[Guess, ...] = ()) -> None:
        super().__init__(word)
        self.word = word
        self.guesses = guesses


class MissingWordError(UserError):
    """A word that needs another after it: "level", "focus", "no"."""

    def __init__(self, after: str, example: str) -> None:
        super().__init__(after)
        self.after = after
        self.example = example


class TwiceError(UserError):
    """Two values where there can be one: "plan 45 50 chair"."""

    def __init__(self, what: str, values: tuple[str, ...]) -> None:
        super().__init__(what)
        self.what = what
        self.values = values


class OutOfRangeError(UserError):
    """A number that is too small or too large."""

    def __init__(self, what: str, value: str, low: int, high: int, unit: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit


class TooLongError(UserError):
    """A message longer than any command."""

    def __init__(self, length: int, most: int) -> None:
        super().__init__(str(length))
        self.length = length
        self.most = most


class NotText(UserError):  # noqa: N818 - it is what came, not an error of hers
    """Something without words: empty, only signs, only control characters."""


class NoPlanYetError(UserError):
    """A plan is asked about before there is one."""


class NoSuchPlaceError(UserError):
    """A number that is no place of the plan."""

    def __init__(self, place: int, last: int) -> None:
        super().__init__(str(place))
        self.place = place
        self.last = last


class NoSuchPlanError(UserError):
    """A plan that is not hers or no longer opens; without a number it is the latest."""

    def __init__(self, number: int | None) -> None:
        super().__init__(str(number))
        self.number = number


class UnclearDateError(UserError):
    """A date or time that could mean two things, or none."""

    def __init__(self, text: str, why: str, guesses: tuple[Guess, ...] = ()) -> None:
        super().__init__(text)
        self.text = text
        self.why = why
        self.guesses = guesses


class NoMatchError(UserError):
    """No exercise is called that."""

    def __init__(self, typed: str) -> None:
        super().__init__(typed)
        self.typed = typed


class RefusedError(UserError):
    """An edit that can't be made; the core's sentence says why."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


class NothingToUndoError(UserError):
    """There is no earlier, or no later, class to go to."""

    def __init__(self, *, forward: bool) -> None:
        super().__init__()
        self.forward = forward


class NoSuchClassError(UserError):
    """No kept class is called that."""

    def __init__(self, typed: str, names: tuple[str, ...]) -> None:
        super().__init__(typed)
        self.typed = typed
        self.names = names


class DescribedError(UserError):
    """An exercise of her own can't be described like that; the core's sentence says how it can."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


class NotHersError(UserError):
    """No exercise of her own is called that; with the names of those that are."""

    def __init__(self, typed: str, names: tuple[str, ...]) -> None:
        super().__init__(typed)
        self.typed = typed
        self.names = names


class SpringsError(UserError):
    """An apparatus can't be described or set like that; the core's sentence says what it can."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


class WhoError(UserError):
    """Nobody is called exactly that, and nobody is guessed; what was typed stands in no message."""

    def __init__(self, typed: str, guesses: tuple[Guess, ...] = ()) -> None:
        super().__init__()
        self.typed = typed
        self.guesses = guesses


class NoClassOnError(UserError):
    """There is no class on that day."""

    def __init__(self, day: str) -> None:
        super().__init__(day)
        self.day = day


class NoSuchDayError(UserError):
    """She has no holiday of that number."""


class NoSuchReminderError(UserError):
    """There is no reminder of that number, or it has been done."""

    def __init__(self, number: int) -> None:
        super().__init__(str(number))
        self.number = number


class NoSuchGroupError(UserError):
    """No group of people is called that; with the names of those there are."""

    def __init__(self, typed: str, names: tuple[str, ...]) -> None:
        super().__init__()
        self.typed = typed
        self.names = names


class NoSuchFlagError(UserError):
    """A person has no flag of that number or condition, or several of it."""

    def __init__(self, typed: str, guesses: tuple[Guess, ...] = ()) -> None:
        super().__init__()
        self.typed = typed
        self.guesses = guesses


class CalendarFileError(UserError):
    """A calendar file that can't be taken in: "large", "many", "empty" or "broken"."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why

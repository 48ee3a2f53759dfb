"""What has been read of a brief so far; each value once, each number in its range."""

from dataclasses import dataclass, field
from datetime import date, datetime, time

from bot.commands import MakePlan
from bot.errors import OutOfRangeError, TooLongError, TwiceError, UnclearDateError, UnknownWordError
from bot.grammar.scanner import Scanner
from bot.when import Spotted, WhenError, join
from core.apparatus import ApparatusId
from core.brief import LONGEST, MOST_PEOPLE, SHORTEST, Aim, Bar
from core.exercise import ExerciseId, Level
from core.fold import fold

LAST_MINUTE = time(23, 59)
LONGEST_GROUP = 40  # characters of a group's name


@dataclass(slots=True)
class Draft:
    """A brief in the making.

    Attributes:
        named_with: apparatus said as part of an exercise's name; they count when no other is said.
    """

    minutes: int | None = None
    apparatus: list[ApparatusId] = field(default_factory=list)
    named_with: list[ApparatusId] = field(default_factory=list)
    level: Level | None = None
    level_said: bool = False
    focus: list[Aim] = field(default_factory=list)
    without: list[Bar] = field(default_factory=list)
    must: list[ExerciseId] = field(default_factory=list)
    people: int | None = None
    group: str = ""
    day: date | None = None
    clock: time | None = None

    def set_minutes(self, value: str) -> None:
        """Keep how long the class is.

        Raises:
            OutOfRangeError, TwiceError: no class lasts that long, or it was said otherwise.
        """
        if "." in value or not SHORTEST <= int(value) <= LONGEST:
            raise OutOfRangeError("class", value, SHORTEST, LONGEST, "minutes")
        if self.minutes not in (None, int(value)):
            raise TwiceError("minutes", (str(self.minutes), value))
        self.minutes = int(value)

    def set_people(self, value: str) -> None:
        """Keep how many take part.

        Raises:
            OutOfRangeError, TwiceError: too few or too many, or it was said otherwise.
        """
        if not 1 <= int(value) <= MOST_PEOPLE:
            raise OutOfRangeError("people", value, 1, MOST_PEOPLE, "people")
        if self.people not in (None, int(value)):
            raise TwiceError("people", (str(self.people), value))
        self.people = int(value)

    def set_level(self, level: Level | None, typed: str) -> None:
        """Keep the level; None is a mixed group.

        Raises:
            TwiceError: it was said otherwise.
        """
        if self.level_said and self.level != level:
            raise TwiceError("level", (str(self.level or "mixed"), typed))
        self.level, self.level_said = level, True

    def set_group(self, name: str) -> None:
        """Keep who the class is for.

        Raises:
            UnknownWordError, TooLongError, TwiceError: no name, or it was said otherwise.
        """
        if not fold(name):
            raise UnknownWordError(name)
        if len(name) > LONGEST_GROUP:
            raise TooLongError(len(name), LONGEST_GROUP)
        if self.group and fold(self.group) != fold(name):
            raise TwiceError("group", (self.group, name))
        self.group = name

    def set_when(self, found: Spotted) -> None:
        """Keep the day or the time of day.

        Raises:
            TwiceError: it was said otherwise.
        """
        if found.day:
            if self.day not in (None, found.day):
                raise TwiceError("day", tuple(f"{d:%a} {d.day} {d:%b}" for d in self._days(found)))
            self.day = found.day
        if found.clock:
            if self.clock not in (None, found.clock):
                raise TwiceError("time", (f"{self.clock:%H:%M}", f"{found.clock:%H:%M}"))
            self.clock = found.clock

    def command(self, words: Scanner, now: datetime) -> MakePlan:
        """The brief as a command.

        Raises:
            UnclearDateError: the day and the time make no moment for a class.
        """
        day_only = self.day if self.day and not self.clock else None
        try:
            # a day alone is enough where the diary has a class on it
            starts = join(self.day, LAST_MINUTE if day_only else self.clock, now)
        except WhenError as why:
            raise UnclearDateError(words.line, str(why)) from why
        return MakePlan(
            line=words.line,
            minutes=self.minutes,
            apparatus=tuple(dict.fromkeys(self.apparatus or self.named_with)),
            level=self.level,
            level_said=self.level_said,
            focus=tuple(dict.fromkeys(self.focus)),
            without=tuple(dict.fromkeys(self.without)),
            must=tuple(dict.fromkeys(self.must)),
            people=self.people,
            group=self.group,
            starts=None if day_only else starts,
            day=day_only,
            read_as=tuple(words.read_as.values()),
        )

    def _days(self, found: Spotted) -> tuple[date, ...]:
        return tuple(day for day in (self.day, found.day) if day)

"""The cautions as values: conditions, their rules, and where each rule comes from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from core.client import Flag, Severity
from core.errors import LibraryError
from core.exercise import Demand, Exercise, Muscle, Position, Theme

UNKNOWN = "unknown"  # the condition whose rules hold for words nobody knows


class Action(StrEnum):
    """What a rule asks for, the strongest first."""

    STOP = "stop"
    ASK = "ask first"
    AVOID = "avoid"
    MODIFY = "modify"
    ALLOW = "allow"


class Tag(StrEnum):
    """How good the ground of a rule is."""

    GUIDELINE = "guideline"
    STUDY = "study"
    PRACTICE = "expert practice"
    MEMORY = "from memory"


class Seen(StrEnum):
    """How much of the source was read."""

    TABLE = "table"
    ABSTRACT = "abstract"
    SECONDARY = "secondary"
    MEMORY = "memory"


class Timed(StrEnum):
    """What the weeks of a condition are counted from."""

    NONE = "none"
    PREGNANCY = "pregnancy"
    AFTER = "after"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a rule comes from; without a year or a doi when none was given."""

    id: str
    cite: str
    year: int | None = None
    doi: str = ""


@dataclass(frozen=True, slots=True)
class Detail:
    """Something the rules of a condition tell apart, and the words for it."""

    id: str
    words: tuple[str, ...]
    group: str = ""


@dataclass(frozen=True, slots=True)
class Condition:
    """A condition or body part that a flag can name.

    Attributes:
        aliases: what people type; an alias of two conditions is a question.
        red_flags: signs of `core.red_flags` that matter most with it.
    """

    id: str
    name: str
    kind: str
    aliases: tuple[str, ...]
    needs_side: bool
    timed: Timed
    plain: str
    red_flags: tuple[str, ...]
    details: tuple[Detail, ...]

    def days(self, flag: Flag, today: date) -> int | None:
        """Days by which the windows of its rules are judged, or None when they are not known."""
        match self.timed:
            case Timed.PREGNANCY:
                return flag.pregnant_days(today)
            case Timed.AFTER:
                return flag.days_after(today)
            case Timed.NONE:
                return None


@dataclass(frozen=True, slots=True, eq=False)
class Rule:
    """A caution: when it holds, what it takes hold of, what it asks for, and why.

    Attributes:
        details: holds only with one of these; empty means with or without.
        from_effort: takes hold of exercises of this effort or more; 0 of none.
        first_day, end_day: the window in days, the end outside; None where it is open.
        change: for a `modify` that no change of the library removes: what to change.
        answerable: whether a clinician's recorded answer turns "ask first" into a note.
        differs: another source that says otherwise, named.
    """

    id: str
    condition: str
    action: Action
    says: str
    source: Source
    tag: Tag
    seen: Seen
    demands: frozenset[Demand] = frozenset()
    positions: frozenset[Position] = frozenset()
    themes: frozenset[Theme] = frozenset()
    muscles: frozenset[Muscle] = frozenset()
    from_effort: int = 0
    severities: frozenset[Severity] = frozenset(Severity)
    details: frozenset[str] = frozenset()
    first_day: int | None = None
    end_day: int | None = None
    change: str = ""
    answerable: bool = True
    differs: str = ""

    def __post_init__(self) -> None:
        other, general = self.otherwise, self.general
        rising = [severity in self.severities for severity in Severity]
        checks = (
            (bool(self.says.strip()), "says nothing"),
            (bool(self.severities), "no severity"),
            (self.action is Action.ALLOW or rising == sorted(rising), "a worse flag escapes it"),
            (not general or self.action is not Action.AVOID, "avoids nothing in particular"),
            (general or self.action is not Action.STOP, "stop holds for the person"),
            (
                bool(self.change) == (self.action is Action.MODIFY and other),
                "`change` belongs to a modify that is not by demand, and only there",
            ),
            (not (self.change and self.demands), "a demand is changed by the library, not a rule"),
            (
                self.first_day is None or self.end_day is None or self.first_day < self.end_day,
                "the window is empty",
            ),
        )
        for good, fault in checks:
            if not good:
                raise LibraryError(f"rule {self.id}: {fault}")

    @property
    def general(self) -> bool:
        """Whether it holds for the person whatever is done."""
        return not (self.demands or self.otherwise)

    @property
    def otherwise(self) -> bool:
        """Whether it takes hold of exercises otherwise than by a demand."""
        return bool(self.positions or self.themes or self.muscles or self.from_effort)

    def meets(self, e: Exercise) -> bool:
        """Whether it takes hold of the exercise otherwise than by a demand."""
        return bool(
            e.position in self.positions
            or not self.themes.isdisjoint(e.themes)
            or e.primary in self.muscles
            or 0 < self.from_effort <= e.effort
        )

    def holds(self, flag: Flag, condition: Condition, today: date) -> bool:
        """Whether it holds for this flag today; what is not known counts against the person."""
        if flag.severity not in self.severities:
            return False
        if self.details and not self.details & set(flag.details):
            said = {d.group for d in condition.details if d.group and d.id in flag.details}
            open_groups = {d.group for d in condition.details if d.id in self.details} - said - {""}
            if not open_groups:
                return False
        days = condition.days(flag, today)
        if days is None:
            return True
        return (self.first_day is None or self.first_day <= days) and (
            self.end_day is None or days < self.end_day
        )


@dataclass(frozen=True, slots=True, eq=False)
class Cautions:
    """All conditions and rules, checked and indexed, and the sources their texts may name."""

    sources: Mapping[str, Source]
    conditions: Mapping[str, Condition]
    rules: Mapping[str, Rule]
    by_condition: Mapping[str, tuple[Rule, ...]] = field(init=False)

    def __post_init__(self) -> None:
        of: dict[str, list[Rule]] = {each: [] for each in self.conditions}
        for rule in self.rules.values():
            if rule.condition not in of:
                raise LibraryError(f"rule {rule.id}: no condition {rule.condition}")
            condition = self.conditions[rule.condition]
            if rule.details - {d.id for d in condition.details}:
                raise LibraryError(f"rule {rule.id}: a detail that {condition.id} has not")
            if condition.timed is Timed.NONE and (rule.first_day, rule.end_day) != (None, None):
                raise LibraryError(f"rule {rule.id}: weeks, but {condition.id} has no time")
            of[rule.condition].append(rule)
        for name, rules in of.items():
            for severity in Severity:
                if not any(severity in r.severities and not r.details for r in rules):
                    raise LibraryError(f"condition {name}: no rule when it is {severity}")
        if not any(r.general and r.action is Action.ASK for r in of.get(UNKNOWN, ())):
            raise LibraryError("unknown words must lead to a question")
        object.__setattr__(self, "by_condition", {k: tuple(v) for k, v in of.items()})

    def holding(self, flag: Flag, today: date) -> tuple[Rule, ...]:
        """The rules that hold for this flag today; an unknown condition has those of `UNKNOWN`."""
        name = flag.condition if flag.condition in self.conditions else UNKNOWN
        condition = self.conditions[name]
        return tuple(r for r in self.by_condition[name] if r.holds(flag, condition, today))

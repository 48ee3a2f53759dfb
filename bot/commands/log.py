"""Commands about what was taught, and what is learned from it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LogClass:
    """Keep how a class went; what is left out stays as it was kept, or as it was planned.

    Attributes:
        minutes: how long it took.
        people: for each person named, the name and what was said of her.
    """

    plan: int | None = None
    minutes: int | None = None
    rpe: int | None = None
    skipped: tuple[int, ...] = ()
    people: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class UnlogClass:
    """Forget that a class was taught."""

    plan: int | None = None


@dataclass(frozen=True, slots=True)
class LastClass:
    """Show the last class taught, of a group if one is named."""

    typed: str = ""


@dataclass(frozen=True, slots=True)
class ShowHistory:
    """Show the classes of a person or a group."""

    typed: str


@dataclass(frozen=True, slots=True)
class ShowLoad:
    """Show the load of the week: her own, or a person's."""

    typed: str = ""


@dataclass(frozen=True, slots=True)
class ShowPace:
    """Show what was learned of her pace."""


@dataclass(frozen=True, slots=True)
class ResetPace:
    """Begin to learn her pace anew."""


@dataclass(frozen=True, slots=True)
class ShowTaste:
    """Show what her edits have taught."""


@dataclass(frozen=True, slots=True)
class ResetTaste:
    """Forget what her edits have taught."""


@dataclass(frozen=True, slots=True)
class NextSteps:
    """Show what may come next for a person."""

    typed: str


LogCommand = (
    LogClass
    | UnlogClass
    | LastClass
    | ShowHistory
    | ShowLoad
    | ShowPace
    | ResetPace
    | ShowTaste
    | ResetTaste
    | NextSteps
)

"""Commands of the class itself: its sheet, its teaching."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SendSheet:
    """Send the run sheet.

    Attributes:
        form: paper, phone or picture; empty for all of them.
    """

    plan: int | None = None
    form: str = ""


@dataclass(frozen=True, slots=True)
class Handover:
    """Give the class to a colleague who takes it.

    Attributes:
        day: the words of its day; empty for the class of this number, or of this chat.
    """

    plan: int | None = None
    day: str = ""


@dataclass(frozen=True, slots=True)
class Teach:
    """Teach the class, or go on in it.

    Attributes:
        do: what was tapped: next, back, skip, late, stop; empty to open or to show it.
        place: the place that the tapped message was about; None where it was typed.
    """

    do: str = ""
    plan: int | None = None
    place: int | None = None


@dataclass(frozen=True, slots=True)
class Early:
    """There is time for one exercise more; `typed` names the one that is wanted."""

    minutes: int
    typed: str = ""

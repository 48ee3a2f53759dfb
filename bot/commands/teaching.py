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

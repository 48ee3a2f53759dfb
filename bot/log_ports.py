"""What the actions may ask of what was taught and learned."""

from collections.abc import Mapping
from typing import Any, Protocol

from core.client import ClientId
from core.taught import Attendance, TaughtClass

Json = Mapping[str, Any]


class Logbook(Protocol):
    """One instructor's taught classes inside one transaction."""

    def keep_taught(self, taught: TaughtClass) -> None:
        """Keep a taught class, replacing what was kept of the same plan."""

    def taught(self, limit: int | None = None, group: str | None = None) -> list[TaughtClass]:
        """Taught classes, newest first; of this group if one is given (folded names match)."""

    def taught_class(self, plan: int) -> TaughtClass | None:
        """What was taught by this plan, or None."""

    def untaught(self, plan: int) -> bool:
        """Forget that a plan was taught; False when it was not kept."""

    def learned(self, about: str) -> dict[str, Any]:
        """What was learned about something; empty when nothing was."""

    def keep_learned(self, about: str, form: Json) -> None:
        """Keep what was learned about something, replacing what was."""


class Register(Protocol):
    """Who was in which class, inside one transaction."""

    def attend(self, attendance: Attendance) -> None:
        """Keep how a class went for a client, replacing what was kept of the same class."""

    def attended(self, client: ClientId, limit: int | None = None) -> list[Attendance]:
        """A client's classes, newest first, those she missed included."""

    def attendances(self, plan: int) -> list[Attendance]:
        """Everybody's attendance of one class, in the order kept."""

    def unattend(self, plan: int) -> int:
        """How many attendances of a class there were; they no longer are."""

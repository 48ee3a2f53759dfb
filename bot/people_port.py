"""What the actions may ask of the outside about clients and groups."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any, Protocol

from bot.log_ports import Register
from core.apparatus import ApparatusId
from core.client import Client, ClientId, Flag, Group
from core.exercise import Level
from storage.kept import Audit, Declaration, Note, Undone


class People(Register, Protocol):
    """One instructor's clients and groups inside one transaction; another's are simply not there.

    Names match folded; numbers are never given twice. Every change can be taken back with `undo`,
    except erasing and purging. A client's record that can't be read raises SealError; lists leave
    out what can't be read, and `Store.faults` has it. What is done to a client there is not raises
    NobodyError.
    """

    def add_client(
        self,
        name: str,
        at: datetime,
        *,
        level: Level = Level.FUNDAMENTAL,
        goals: Iterable[str] = (),
        springs: Iterable[tuple[ApparatusId, str]] = (),
    ) -> Client:
        """Keep a client.

        Raises:
            ClientError: the name is no name, or somebody else has it.
        """

    def client(self, client: ClientId) -> Client | None:
        """The client of this number, or None."""

    def some(self, clients: Iterable[ClientId]) -> list[Client]:
        """The clients of these numbers, in their order; whom she does not have is left out.

        Raises:
            SealError: one of them can't be read.
        """

    def client_named(self, name: str) -> Client | None:
        """The client of exactly this name, or None."""

    def names(self) -> dict[ClientId, str]:
        """Everybody's name, in the order added: the quick way to look for a name like one."""

    def clients(self) -> list[Client]:
        """Everybody, in the order added."""

    def save_client(self, client: Client, at: datetime) -> None:
        """Keep name, level, goals and usual springs; flags stay as they are kept.

        Raises:
            ClientError: somebody else has the name.
        """

    def add_flag(self, client: ClientId, flag: Flag, at: datetime) -> Client:
        """Keep one flag more."""

    def replace_flags(self, client: ClientId, flags: Iterable[Flag], at: datetime) -> Client:
        """Keep these flags and no others."""

    def add_note(self, client: ClientId, text: str, at: datetime) -> Note:
        """Keep a note."""

    def notes(self, client: ClientId, limit: int | None = None) -> list[Note]:
        """Notes on a client, newest first."""

    def declare(self, client: ClientId, declaration: Declaration, at: datetime) -> None:
        """Keep what a client has answered or agreed to."""

    def declarations(self, client: ClientId, kind: str | None = None) -> list[Declaration]:
        """What a client has answered or agreed to, newest first, of this kind if one is given."""

    def groups(self) -> list[Group]:
        """Her groups of people, in the order made."""

    def group(self, name: str) -> Group | None:
        """The group of this name, or None."""

    def set_group(self, name: str, members: Iterable[ClientId], at: datetime) -> Group:
        """Keep a group with these members and no others."""

    def remove_from_group(self, name: str, client: ClientId, at: datetime) -> bool:
        """Take a client out of a group; False when she is not in it."""

    def drop_group(self, name: str, at: datetime) -> bool:
        """Forget a group; its people stay. False when there is none such."""

    def undo(self) -> Undone | None:
        """Take back the last change, one a call; None when there is nothing left to take back."""

    def erase_client(self, client: ClientId, at: datetime) -> dict[str, int] | None:
        """Erase a client for good, and say how much of what; None when there is none such.

        "mentions" counts what is kept about others and still has the name in it: that stays.
        """

    def export(self, at: datetime, client: ClientId | None = None) -> dict[str, Any]:
        """Everything kept about a client and nobody else, or about everybody, as JSON values."""

    def retention(self) -> int | None:
        """For how many days notes are kept; None for ever."""

    def set_retention(self, days: int | None) -> None:
        """Keep notes for so many days; `purge` is what then removes them."""

    def purge(self, before: datetime, at: datetime) -> int:
        """Remove notes (and changes) older than an instant; how many notes it were."""

    def record(self, what: str, at: datetime, counts: Mapping[str, int]) -> None:
        """Write in the audit trail that something was done, without what it was done to."""

    def audit(self) -> list[Audit]:
        """The audit trail, newest first."""

    def check(self) -> None:
        """Read everything once; `Store.faults` then has whatever can't be read."""

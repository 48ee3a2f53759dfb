"""What the actions may ask of the outside: a store and a clock."""

from collections.abc import Mapping
from contextlib import AbstractContextManager
from datetime import datetime
from typing import Any, Protocol

from bot.diary_port import Diary, Waking
from bot.log_ports import Logbook
from bot.mail_ports import Mail, Office
from bot.people_port import People
from core.apparatus import Apparatus, ApparatusId
from core.calibration import Reading
from core.instructor import Habits, Instructor, OwnerId
from core.plan import ClassPlan
from core.repertoire import Repertoire
from core.saved import DatedPlan, KeptClass, SavedPlan
from storage.errors import SealError
from storage.kept import Access

Json = Mapping[str, Any]


class Store(Logbook, Protocol):
    """One instructor's data inside one transaction; another's is simply not there.

    Everything done through it is kept together when the transaction ends well, and not at all when
    it ends with an exception; after that it is of no use. Instants are aware and in UTC.
    """

    @property
    def mail(self) -> Mail:
        """What is sent, and which update is answered, by this transaction."""

    @property
    def people(self) -> People:
        """Her clients and groups.

        Raises:
            KeyMissingError: the store was opened without keys.
        """

    @property
    def diary(self) -> Diary:
        """Her classes, holidays and reminders.

        Raises:
            KeyMissingError: the store was opened without keys.
        """

    @property
    def faults(self) -> tuple[SealError, ...]:
        """What could not be read in this transaction and was left out; she is to be told."""

    def instructor(self) -> Instructor:
        """Who this is."""

    def set_zone(self, zone: str) -> None:
        """Keep the zone she has chosen."""

    def set_habits(self, habits: Habits) -> None:
        """Keep what she usually asks for."""

    def add_plan(self, plan: ClassPlan, repertoire: Repertoire, made_at: datetime) -> SavedPlan:
        """Keep a plan under the next number."""

    def plan(self, number: int, repertoire: Repertoire) -> SavedPlan | None:
        """The plan of this number, or None when she has none such.

        Raises:
            StaleError: the library no longer has something in it.
        """

    def latest_plan(self, repertoire: Repertoire, group: str | None = None) -> SavedPlan | None:
        """The plan with the highest number, of this group if one is given (folded names match).

        Raises:
            StaleError: the library no longer has something in it.
        """

    def plans_between(self, first: datetime, last: datetime) -> list[DatedPlan]:
        """The plans of classes that begin from `first` up to `last`, by their beginning.

        Both are naive, a time on her wall. Of several with one beginning the latest is meant.
        """

    def groups(self) -> list[str]:
        """Names of the groups that plans were made for, latest first, each once."""

    def keep_class(self, name: str, plan: int) -> KeptClass:
        """Keep a plan under a name (folded names match) as its next version, in use again."""

    def kept_classes(self) -> list[KeptClass]:
        """The latest version of every kept class in use, by name."""

    def retire_class(self, name: str) -> bool:
        """Put a kept class away; False when none of that name is in use."""

    def talk(self, chat: str) -> dict[str, Any]:
        """What the conversation in this chat is about; empty when nothing is open."""

    def set_talk(self, chat: str, talk: Json) -> None:
        """Keep what the conversation in this chat is about."""

    def keep_line(self, token: str, line: str) -> None:
        """Keep the line a button stands for, under a token short enough for the channel."""

    def line(self, token: str) -> str | None:
        """The line kept under a token, or None."""

    def apparatus(self) -> dict[ApparatusId, Apparatus]:
        """Her own descriptions; what she has not described is left out."""

    def describe(self, apparatus: Apparatus) -> None:
        """Keep her description, replacing an earlier one."""

    def undescribe(self, apparatus_id: ApparatusId) -> None:
        """Forget her description and her readings of an apparatus."""

    def readings(self, apparatus_id: ApparatusId) -> tuple[Reading, ...]:
        """What scales showed on an apparatus, by spring."""

    def keep_reading(self, apparatus_id: ApparatusId, reading: Reading) -> None:
        """Keep what a scale showed, replacing an earlier reading of that spring."""

    def exercises(self) -> list[dict[str, Any]]:
        """Tables of her own exercises, in the order added, retired ones left out."""

    def keep_exercise(self, exercise_id: str, table: Json) -> None:
        """Keep an exercise of her own, replacing an earlier one of that id."""

    def retire_exercise(self, exercise_id: str) -> bool:
        """Take an exercise of her own out of use; False when she has none such."""

    def remarks(self, exercise_id: str) -> list[str]:
        """Her own cues and notes on an exercise, in the order written."""

    def add_remark(self, exercise_id: str, text: str) -> None:
        """Keep a cue or note on an exercise."""


class Vault(Waking, Protocol):
    """All instructors' data; the only way to one's is through her door."""

    @property
    def office(self) -> Office:
        """What comes in and goes out."""

    def owner(self, door: str) -> OwnerId | None:
        """Who speaks from this door, or None for a stranger."""

    def admit(self, door: str, zone: str = "", at: datetime | None = None) -> OwnerId:
        """Let somebody in; somebody already in, or back again, stays who she is."""

    def anybody(self) -> bool:
        """Whether there is anybody who is let in."""

    def access(self) -> list[Access]:
        """Who is let in, in the order first admitted."""

    def revoke(self, door: str) -> bool:
        """Let somebody in no longer; False when nobody is by this door. Her data waits for her."""

    def add_code(self, digest: bytes, expires: datetime) -> None:
        """Keep the digest of a one-time code; the code itself is never stored."""

    def redeem(self, digest: bytes, door: str, now: datetime) -> OwnerId | None:
        """Admit whoever holds an unused, unexpired code, and use it up; None otherwise."""

    def begin(self, owner: OwnerId, *, replayed: bool = False) -> AbstractContextManager[Store]:
        """One transaction on one instructor's data; admit nobody and begin no other inside it.

        Args:
            replayed: what asks for it is kept in the inbox and comes again if this is lost. Then
                others need not wait while it thinks, and it need not wait for the disk.

        Raises:
            StrangerError: there is no such instructor, or she is no longer let in.
            TakenError: replayed only: something of hers was changed meanwhile.
        """

    def mail(self) -> AbstractContextManager[Mail]:
        """One transaction on the post alone: for whoever is not let in."""

    def close(self) -> None:
        """Give back what is held open."""


class Clock(Protocol):
    """What time it is."""

    def now(self) -> datetime:
        """This instant, aware, in UTC."""

"""The drawers in which everything about people is filed, sheet by sheet: what both stores offer.

A sheet is filed by its number; numbers count up and are never given twice to an instructor, so
that nothing that names an erased one can ever mean another. Its texts are what a database seals.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from functools import lru_cache
from typing import Protocol

from core.fold import fold
from storage.errors import SealError
from storage.kept import Audit


class Drawer(StrEnum):
    """The drawers, by the name of their table."""

    CLIENT = "client"
    GROUP = "client_group"
    NOTE = "note"
    DECLARATION = "declaration"
    CHANGE = "change"
    CLASS = "class_entry"
    AWAY = "away"
    REMINDER = "reminder"
    RHYTHM = "rhythm"
    ATTENDANCE = "attendance"


TEXTS: Mapping[Drawer, tuple[str, ...]] = {
    Drawer.CLIENT: ("name", "form", "flags"),
    Drawer.GROUP: ("name", "members"),
    Drawer.NOTE: ("text",),
    Drawer.DECLARATION: ("form",),
    Drawer.CHANGE: ("form",),
    Drawer.CLASS: ("form",),
    Drawer.AWAY: ("form",),
    Drawer.REMINDER: ("form",),
    Drawer.RHYTHM: ("form",),
    Drawer.ATTENDANCE: ("form",),
}
NAMED = (Drawer.CLIENT, Drawer.GROUP)  # a name stands once in each of these
# a sheet there is, or may be, about a client
OF_CLIENTS = (
    Drawer.NOTE,
    Drawer.DECLARATION,
    Drawer.CHANGE,
    Drawer.REMINDER,
    Drawer.ATTENDANCE,
)
OF_DIARY = (Drawer.CLASS, Drawer.AWAY, Drawer.REMINDER, Drawer.RHYTHM)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One record.

    Attributes:
        texts: the texts of its drawer, by column.
        client: the number of the client it is about, outside the drawers of names.
        made_at: when it was filed, outside the drawers of names.
        due: when a reminder is to be said next.
    """

    number: int
    texts: Mapping[str, str]
    client: int | None = None
    made_at: datetime | None = None
    due: datetime | None = None


class Drawers(Protocol):
    """One instructor's drawers inside one transaction.

    Attributes:
        faults: what could not be read and was left out of a list.
    """

    faults: list[SealError]

    def next_number(self) -> int:
        """A number that no sheet of hers ever had."""

    def put(self, drawer: Drawer, sheet: Sheet) -> None:
        """File a sheet, replacing the one of its number."""

    def get(self, drawer: Drawer, number: int) -> Sheet | None:
        """The sheet of this number, or None.

        Raises:
            SealError: a text of it can't be read.
        """

    def some(self, drawer: Drawer, numbers: Iterable[int]) -> dict[int, Sheet]:
        """The sheets of these numbers that are there, by number.

        Raises:
            SealError: a text of one can't be read.
        """

    def find(self, drawer: Drawer, name: str) -> Sheet | None:
        """The sheet of this name (folded names match) in a drawer of names, or None.

        Raises:
            SealError: a text of it can't be read.
        """

    def sheets(
        self,
        drawer: Drawer,
        *,
        client: int | None = None,
        newest: bool = False,
        limit: int | None = None,
    ) -> Iterator[Sheet]:
        """The sheets in the order filed, or the newest first; unreadable ones become faults."""

    def numbers(self, drawer: Drawer) -> list[int]:
        """The numbers of all sheets, readable or not, in the order filed."""

    def names(self, drawer: Drawer) -> dict[int, str]:
        """The names in a drawer of names, by number; unreadable ones become faults."""

    def remove(self, drawer: Drawer, number: int) -> bool:
        """Whether there was such a sheet; with a client go all sheets about the client."""

    def remove_of(self, drawer: Drawer, client: int) -> int:
        """How many sheets about a client were there; they no longer are."""

    def remove_before(self, drawer: Drawer, moment: datetime) -> int:
        """How many sheets were filed before this instant; they no longer are."""

    def trim(self, drawer: Drawer, most: int) -> None:
        """Leave only the newest sheets."""

    def lines(self) -> list[str]:
        """The lines that buttons stand for."""

    def plans_for(self, name: str) -> list[int]:
        """The numbers of the plans made for this name."""

    def forget(self, name: str | None) -> dict[str, int]:
        """How many lines, conversations, plans and kept classes named her; they no longer do.

        A kept class goes when its whole name is hers; its plan stays. Without a name, because it
        can't be read, all lines and conversations go.
        """

    def named_elsewhere(self, name: str) -> int:
        """How many kept classes, remarks and exercises of her own have this name in them."""

    def retention(self) -> int | None:
        """For how many days notes are kept; None for ever."""

    def set_retention(self, days: int | None) -> None:
        """Keep notes for so many days."""

    def add_audit(self, audit: Audit) -> None:
        """Write down that something was done."""

    def audits(self) -> list[Audit]:
        """What was done, newest first."""


def mentions(text: str, name: str) -> bool:
    """Whether a text has this name in it as words of its own, folded as names are."""
    words = _folded(name)
    if not words:
        return name in text
    # Folding plain letters only makes them small, which is far quicker to look at first.
    if text.isascii() and words.partition(" ")[0] not in text.lower():
        return False
    return f" {words} " in f" {fold(text)} "


@lru_cache(maxsize=64)
def _folded(name: str) -> str:
    return fold(name)


def mentioned(form: object, name: str) -> bool:
    """Whether any text in a plain JSON value has this name in it."""
    match form:
        case str():
            return mentions(form, name)
        case Mapping():
            return mentioned([*form.keys(), *form.values()], name)
        case Iterable():
            return any(mentioned(each, name) for each in form)
        case _:
            return False

"""An instructor's clients, what she minds about them, and how each change is taken back.

All of it is written once, over the drawers that a store has; a change files what was there before.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from core.apparatus import ApparatusId
from core.client import Client, ClientError, ClientId, Flag, Group
from core.exercise import Level
from storage.attending import Attending
from storage.changing import changed, logged
from storage.diary_undo import put_back
from storage.drawers import OF_DIARY, Drawer, Sheet
from storage.erasing import erased
from storage.errors import NobodyError
from storage.exporting import exported
from storage.form import utc
from storage.kept import Audit, Change, Declaration, Note, Undone
from storage.people_form import (
    change_from_sheet,
    client_from_sheet,
    client_to_sheet,
    declaration_from_sheet,
    declaration_to_sheet,
    group_from_sheet,
    group_to_sheet,
    note_from_sheet,
)


class People(Attending):
    """The people of one instructor inside one transaction; made by her store only.

    Names match folded. What names a client she does not have raises NobodyError. A single record
    that can't be read raises SealError; a list leaves it out, and `Store.faults` has it.
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
        """The new client.

        Raises:
            ClientError: the name is no name, or somebody else has it.
        """
        self._unused(name, None)
        number = ClientId(self._drawers.next_number())
        client = Client(number, name, level, tuple(goals), tuple(springs))
        self._change(Change.ADDED, Drawer.CLIENT, client_to_sheet(client), None, at)
        return client

    def client(self, client: ClientId) -> Client | None:
        """The client of this number, or None."""
        sheet = self._drawers.get(Drawer.CLIENT, client)
        return client_from_sheet(sheet) if sheet else None

    def some(self, clients: Iterable[ClientId]) -> list[Client]:
        """The clients of these numbers, in their order; whom she does not have is left out."""
        wanted = tuple(clients)
        found = self._drawers.some(Drawer.CLIENT, wanted)
        return [client_from_sheet(found[each]) for each in wanted if each in found]

    def client_named(self, name: str) -> Client | None:
        """The client of exactly this name, or None."""
        sheet = self._drawers.find(Drawer.CLIENT, name)
        return client_from_sheet(sheet) if sheet else None

    def names(self) -> dict[ClientId, str]:
        """Everybody's name, in the order added: the quick way to look for a name like one."""
        return {ClientId(n): name for n, name in self._drawers.names(Drawer.CLIENT).items()}

    def clients(self) -> list[Client]:
        """Everybody, in the order added."""
        return [client_from_sheet(sheet) for sheet in self._drawers.sheets(Drawer.CLIENT)]

    def save_client(self, client: Client, at: datetime) -> None:
        """Keep name, level, goals and usual springs; flags stay as they are kept.

        Raises:
            ClientError: somebody else has the name.
        """
        before = self._client(client.id)
        self._unused(client.name, client.id)
        kept = replace(client, flags=client_from_sheet(before).flags)
        self._change(Change.CLIENT, Drawer.CLIENT, client_to_sheet(kept), before, at)

    def add_flag(self, client: ClientId, flag: Flag, at: datetime) -> Client:
        """The client with one flag more."""
        flags = client_from_sheet(self._client(client)).flags
        return self.replace_flags(client, (*flags, flag), at)

    def replace_flags(self, client: ClientId, flags: Iterable[Flag], at: datetime) -> Client:
        """The client with these flags and no others."""
        before = self._client(client)
        kept = replace(client_from_sheet(before), flags=tuple(flags))
        self._change(Change.FLAGS, Drawer.CLIENT, client_to_sheet(kept), before, at)
        return kept

    def add_note(self, client: ClientId, text: str, at: datetime) -> Note:
        """The new note."""
        self._client(client)
        sheet = Sheet(self._drawers.next_number(), {"text": text}, client, utc(at))
        self._change(Change.NOTE, Drawer.NOTE, sheet, None, at)
        return note_from_sheet(sheet)

    def notes(self, client: ClientId, limit: int | None = None) -> list[Note]:
        """Notes on a client, newest first."""
        sheets = self._drawers.sheets(Drawer.NOTE, client=client, newest=True, limit=limit)
        return [note_from_sheet(sheet) for sheet in sheets]

    def declare(self, client: ClientId, declaration: Declaration, at: datetime) -> None:
        """Keep what a client has answered or agreed to."""
        self._client(client)
        number = self._drawers.next_number()
        sheet = declaration_to_sheet(number, client, declaration, utc(at))
        self._change(Change.DECLARATION, Drawer.DECLARATION, sheet, None, at)

    def declarations(self, client: ClientId, kind: str | None = None) -> list[Declaration]:
        """What a client has answered or agreed to, of this kind if one is given, newest first."""
        sheets = self._drawers.sheets(Drawer.DECLARATION, client=client, newest=True)
        found = [declaration_from_sheet(sheet) for sheet in sheets]
        return [each for each in found if kind is None or each.kind == kind]

    def groups(self) -> list[Group]:
        """Her groups of people, in the order made."""
        return [group_from_sheet(sheet) for sheet in self._drawers.sheets(Drawer.GROUP)]

    def group(self, name: str) -> Group | None:
        """The group of this name, or None."""
        sheet = self._drawers.find(Drawer.GROUP, name)
        return group_from_sheet(sheet) if sheet else None

    def set_group(self, name: str, members: Iterable[ClientId], at: datetime) -> Group:
        """The group with these members and no others, made if there was none."""
        group = Group(name, tuple(members))
        known = self._drawers.names(Drawer.CLIENT)
        for member in group.members:
            if member not in known:
                self._client(member)
        before = self._drawers.find(Drawer.GROUP, name)
        number = before.number if before else self._drawers.next_number()
        self._change(Change.GROUP, Drawer.GROUP, group_to_sheet(number, group), before, at)
        return group

    def remove_from_group(self, name: str, client: ClientId, at: datetime) -> bool:
        """Whether the client was in such a group, and no longer is."""
        group = self.group(name)
        if group is None or client not in group.members:
            return False
        self.set_group(group.name, (each for each in group.members if each != client), at)
        return True

    def drop_group(self, name: str, at: datetime) -> bool:
        """Whether there was such a group, and no longer is; its people stay."""
        before = self._drawers.find(Drawer.GROUP, name)
        if before is None:
            return False
        self._drawers.remove(Drawer.GROUP, before.number)
        logged(self._drawers, Change.GROUP, Drawer.GROUP, before, before, at)
        return True

    def undo(self) -> Undone | None:
        """The last change, which is taken back; None when there is none. Erasing stays done."""
        last = next(self._drawers.sheets(Drawer.CHANGE, newest=True, limit=1), None)
        if last is None:
            return None
        what, drawer, number, before = change_from_sheet(last)
        now = self._drawers.get(drawer, number)
        self._drawers.remove(Drawer.CHANGE, last.number)
        client = None if last.client is None else ClientId(last.client)
        if client is None:
            shown = now or before
            name = shown.texts.get("name", "") if shown else ""
        else:
            name = self._client(client).texts["name"]
        if before is None:
            self._drawers.remove(drawer, number)
        elif drawer in OF_DIARY:
            put_back(self._drawers, drawer, before)
        elif drawer is Drawer.GROUP:
            group = group_from_sheet(before)
            left = tuple(each for each in group.members if each in self.names())
            self._drawers.put(drawer, group_to_sheet(number, replace(group, members=left)))
        else:
            self._drawers.put(drawer, before)
        return Undone(Change(what), name, client, number)

    def erase_client(self, client: ClientId, at: datetime) -> dict[str, int] | None:
        """How much was erased of what, for good; None when there was no such client.

        A group that loses its only member goes if it was named after her. "mentions" counts what
        is kept about others and still has the name in it; it is hers to change, and stays.
        """
        if client not in self._drawers.numbers(Drawer.CLIENT):
            return None
        counts = erased(self._drawers, client)
        self.record("erase", at, counts)
        return counts

    def export(self, at: datetime, client: ClientId | None = None) -> dict[str, Any]:
        """Everything kept about a client and nobody else, or about everybody, as JSON values."""
        if client is not None and client not in self._drawers.numbers(Drawer.CLIENT):
            raise NobodyError(f"there is no client {client}")
        form = exported(self._drawers, client)
        self.record("export", at, {"clients": len(form["clients"])})
        return form

    def retention(self) -> int | None:
        """For how many days notes are kept; None for ever."""
        return self._drawers.retention()

    def set_retention(self, days: int | None) -> None:
        """Keep notes for so many days; `purge` is what then removes them."""
        self._drawers.set_retention(days)

    def purge(self, before: datetime, at: datetime) -> int:
        """How many notes were older than this; they, changes and attendances as old are gone."""
        notes = self._drawers.remove_before(Drawer.NOTE, utc(before))
        changes = self._drawers.remove_before(Drawer.CHANGE, utc(before))
        classes = self._drawers.remove_before(Drawer.ATTENDANCE, utc(before))
        if notes or changes or classes:
            counts = {"notes": notes, "changes": changes, "attendances": classes}
            self.record("purge", at, counts)
        return notes

    def record(self, what: str, at: datetime, counts: Mapping[str, int]) -> None:
        """Write down that something was done, without what it was done to."""
        self._drawers.add_audit(Audit(utc(at), what, dict(counts)))

    def audit(self) -> list[Audit]:
        """What was done, newest first."""
        return self._drawers.audits()

    def check(self) -> None:
        """Read everything once; `Store.faults` then has whatever can't be read."""
        for drawer in Drawer:
            for _ in self._drawers.sheets(drawer):
                pass

    def _client(self, client: ClientId) -> Sheet:
        sheet = self._drawers.get(Drawer.CLIENT, client)
        if sheet is None:
            raise NobodyError(f"there is no client {client}")
        return sheet

    def _unused(self, name: str, client: ClientId | None) -> None:
        sheet = self._drawers.find(Drawer.CLIENT, name)
        if sheet is not None and sheet.number != client:
            raise ClientError("somebody else has this name")

    def _change(
        self, what: Change, drawer: Drawer, now: Sheet, before: Sheet | None, at: datetime
    ) -> None:
        changed(self._drawers, what, drawer, now, before, at)

"""The drawers in a database: every text sealed where it stands, every name found by its index."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any

from sqlalchemy import Row, Select, Table, delete, insert, select

from storage.crypto import CHANGED, Place, Seal
from storage.drawers import NAMED, OF_CLIENTS, TEXTS, Drawer, Sheet
from storage.errors import SealError
from storage.form import group_key
from storage.hers import Hers
from storage.kept import Audit
from storage.mentioning import Mentions
from storage.statements import STATEMENTS, TABLES
from storage.tie import Tie

AUDIT = TABLES["audit"]


BOOKS = 100  # names of how many instructors are remembered (house choice)

# The names of an instructor's clients, as they were when `filed` had this value.
Books = dict[int, tuple[int, dict[int, str]]]


class SqlDrawers(Mentions):
    """One instructor's drawers inside one transaction; made by her store only.

    Attributes:
        faults: what could not be read and was left out of a list.
        erased: whether somebody was erased, so that what the database still has of her must go.
    """

    def __init__(self, tie: Tie, instructor: Hers, seal: Seal, books: Books) -> None:
        super().__init__(tie, instructor.id, seal)
        self._instructor = instructor
        self._began = instructor.filed
        self._books = books
        self._seal = seal
        self._new: set[int] = set()  # numbers given and not yet filed under
        self.faults = seal.faults

    def next_number(self) -> int:
        """A number that no sheet of hers ever had."""
        self._instructor.filed += 1
        self._new.add(self._instructor.filed)
        return self._instructor.filed

    def put(self, drawer: Drawer, sheet: Sheet) -> None:
        """File a sheet, replacing the one of its number."""
        values = self._sealed(drawer, sheet)
        known = {"of": self._owner, "at": sheet.number}
        if sheet.number in self._new:
            self._new.remove(sheet.number)
        # A row is changed in place: to delete it first would take along all that belongs to it.
        else:
            self._instructor.filed += 1  # every change of a name is seen by it
            if self._connection.execute(STATEMENTS[drawer].update, known | values).rowcount:
                return
        self._connection.execute(
            STATEMENTS[drawer].insert, {"owner": self._owner, "id": sheet.number} | values
        )

    def put_many(self, drawer: Drawer, sheets: Iterable[Sheet]) -> None:
        """File new sheets at once, each under a number just given."""
        rows = [
            {"owner": self._owner, "id": sheet.number} | self._sealed(drawer, sheet)
            for sheet in sheets
        ]
        self._new.difference_update(row["id"] for row in rows)
        if rows:
            self._connection.execute(STATEMENTS[drawer].insert, rows)

    def get(self, drawer: Drawer, number: int) -> Sheet | None:
        """The sheet of this number, or None.

        Raises:
            SealError: a text of it can't be read.
        """
        row = self._connection.execute(
            STATEMENTS[drawer].get, {"of": self._owner, "at": number}
        ).one_or_none()
        return self._sheet(drawer, row) if row else None

    def some(self, drawer: Drawer, numbers: Iterable[int]) -> dict[int, Sheet]:
        """The sheets of these numbers that are there, by number.

        Raises:
            SealError: a text of one can't be read.
        """
        known = {"of": self._owner, "at": list(numbers)}
        rows = self._connection.execute(STATEMENTS[drawer].some, known).all()
        return {row.id: self._sheet(drawer, row) for row in rows}

    def find(self, drawer: Drawer, name: str) -> Sheet | None:
        """The sheet of this name in a drawer of names, or None.

        Raises:
            SealError: a text of it can't be read, or it was made to be found by another name.
        """
        keys = self._seal.indexes(drawer, group_key(name))
        known = {"of": self._owner, "named": keys}
        row = self._connection.execute(STATEMENTS[drawer].named, known).first()
        return self._sheet(drawer, row) if row else None

    def sheets(
        self,
        drawer: Drawer,
        *,
        client: int | None = None,
        newest: bool = False,
        limit: int | None = None,
    ) -> Iterator[Sheet]:
        """The sheets in the order filed, or the newest first; unreadable ones become faults."""
        table = TABLES[drawer]
        query = self._hers(drawer)
        if client is not None:
            query = query.where(table.c.client == client)
        if newest:
            query = query.order_by(None).order_by(table.c.made_at.desc(), table.c.id.desc())
        for row in self._connection.execute(query.limit(limit)).all():
            try:
                yield self._sheet(drawer, row)
            except SealError as fault:
                self.faults.append(fault)

    def numbers(self, drawer: Drawer) -> list[int]:
        """The numbers of all sheets, readable or not, in the order filed."""
        table = TABLES[drawer]
        return list(
            self._connection.scalars(
                select(table.c.id).where(table.c.owner == self._owner).order_by(table.c.id)
            )
        )

    def names(self, drawer: Drawer) -> dict[int, str]:
        """The names in a drawer of names, by number; unreadable ones become faults."""
        if drawer is not Drawer.CLIENT:
            return self._read_names(drawer)
        number = self._instructor.filed
        if number != self._began:
            return self._read_names(drawer)
        at, known = self._books.get(self._owner, (-1, {}))
        if at != number:
            faults = len(self.faults)
            known = self._read_names(drawer)
            if faults == len(self.faults):
                if len(self._books) >= BOOKS:
                    self._books.clear()
                self._books[self._owner] = (number, known)
        return dict(known)

    def _read_names(self, drawer: Drawer) -> dict[int, str]:
        table = TABLES[drawer]
        rows = self._connection.execute(
            select(table.c.id, table.c.name)
            .where(table.c.owner == self._owner)
            .order_by(table.c.id)
        )
        return self._seal.opened(drawer, "name", ((number, name) for number, name in rows.all()))

    def remove(self, drawer: Drawer, number: int) -> bool:
        """Whether there was such a sheet; with a client go all sheets about the client."""
        if drawer is Drawer.CLIENT:
            self._instructor.filed += 1
            for each in OF_CLIENTS:
                self.remove_of(each, number)
        table = TABLES[drawer]
        gone = self._connection.execute(delete(table).where(*self._at(table, number)))
        return bool(gone.rowcount)

    def remove_of(self, drawer: Drawer, client: int) -> int:
        """How many sheets about a client were there; they no longer are."""
        table = TABLES[drawer]
        hers = delete(table).where(table.c.owner == self._owner, table.c.client == client)
        return self._connection.execute(hers).rowcount

    def remove_before(self, drawer: Drawer, moment: datetime) -> int:
        """How many sheets were filed before this instant; they no longer are."""
        table = TABLES[drawer]
        old = delete(table).where(table.c.owner == self._owner, table.c.made_at < moment)
        gone = self._connection.execute(old).rowcount
        self.erased = self.erased or gone > 0
        return gone

    def trim(self, drawer: Drawer, most: int) -> None:
        """Leave only the newest sheets."""
        known = {"of": self._owner}
        surplus = self._connection.scalar(STATEMENTS[drawer].surplus, known | {"at": most})
        if surplus is not None:
            self._connection.execute(STATEMENTS[drawer].until, known | {"at": surplus})

    def retention(self) -> int | None:
        """For how many days notes are kept; None for ever."""
        return self._instructor.retention_days

    def set_retention(self, days: int | None) -> None:
        """Keep notes for so many days."""
        self._instructor.retention_days = days

    def add_audit(self, audit: Audit) -> None:
        """Write down that something was done."""
        values = {"at": audit.at, "what": audit.what, "counts": dict(audit.counts)}
        self._connection.execute(insert(AUDIT).values(owner=self._owner, **values))

    def audits(self) -> list[Audit]:
        """What was done, newest first."""
        query = select(AUDIT).where(AUDIT.c.owner == self._owner).order_by(AUDIT.c.id.desc())
        return [Audit(row.at, row.what, row.counts) for row in self._connection.execute(query)]

    def renew(self, drawer: Drawer, after: int, most: int) -> tuple[int, int]:
        """The last number of the next batch (0 at the end), and how many of it were sealed anew."""
        table = TABLES[drawer]
        batch = self._hers(drawer).where(table.c.id > after).limit(most)
        rows = self._connection.execute(batch).all()
        changes: dict[tuple[str, ...], list[dict[str, Any]]] = {}
        for row in rows:
            values = self._renewed(drawer, row)
            if values:
                known = {"of": self._owner, "at": row.id}
                changes.setdefault(tuple(values), []).append(known | values)
        for alike in changes.values():
            self._connection.execute(STATEMENTS[drawer].update, alike)
        return (rows[-1].id if rows else 0), sum(map(len, changes.values()))

    def _renewed(self, drawer: Drawer, row: Row[Any]) -> dict[str, bytes]:
        """What of a row is sealed with an older key, sealed with the newest; the rest stays."""
        values: dict[str, bytes] = {}
        for place, sealed in self._fields(drawer, row):
            try:
                text = self._seal.open(place, sealed)
            except SealError as fault:
                self.faults.append(fault)
                continue
            if not self._seal.fresh(sealed):
                values[place.column] = self._seal.close(place, text)
            if drawer in NAMED and place.column == "name":
                key = self._seal.index(drawer, group_key(text))
                if key != row.name_key:
                    values["name_key"] = key
        return values

    def _sheet(self, drawer: Drawer, row: Row[Any]) -> Sheet:
        texts = {
            place.column: self._seal.open(place, sealed)
            for place, sealed in self._fields(drawer, row)
        }
        if drawer not in NAMED:
            due = row.due if drawer is Drawer.REMINDER else None
            return Sheet(row.id, texts, row.client, row.made_at, due)
        if row.name_key not in self._seal.indexes(drawer, group_key(texts["name"])):
            raise SealError(drawer, "name_key", row.id, CHANGED)
        return Sheet(row.id, texts)

    def _fields(self, drawer: Drawer, row: Row[Any]) -> list[tuple[Place, bytes]]:
        also = () if drawer in NAMED else _also(row.client, row.made_at)
        return [
            (Place(drawer, column, row.id, also), getattr(row, column)) for column in TEXTS[drawer]
        ]

    def _sealed(self, drawer: Drawer, sheet: Sheet) -> dict[str, Any]:
        also = () if drawer in NAMED else _also(sheet.client, sheet.made_at)
        values: dict[str, Any] = {
            column: self._seal.close(Place(drawer, column, sheet.number, also), text)
            for column, text in sheet.texts.items()
        }
        if drawer in NAMED:
            values["name_key"] = self._seal.index(drawer, group_key(sheet.texts["name"]))
        else:
            values |= {"client": sheet.client, "made_at": sheet.made_at}
        if drawer is Drawer.REMINDER:
            # whoever has filed it anew has done with it; nobody holds it any more
            values |= {"due": sheet.due, "lease_until": None, "worker": ""}
        return values

    def _hers(self, drawer: Drawer) -> Select[Any]:
        table = TABLES[drawer]
        return select(table).where(table.c.owner == self._owner).order_by(table.c.id)

    def _at(self, table: Table, number: int) -> tuple[Any, ...]:
        return (table.c.owner == self._owner, table.c.id == number)


def _also(client: int | None, made_at: datetime | None) -> tuple[str, ...]:
    return (str(client), made_at.isoformat() if made_at else "")

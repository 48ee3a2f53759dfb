"""What waits in the inbox and the outbox, when somebody is erased or keys change."""

import json
from collections.abc import Iterator

from sqlalchemy import Table, update
from sqlmodel import Session, select

from storage.cover import Cover
from storage.crypto import Place
from storage.drawers import mentioned
from storage.errors import SealError
from storage.mail import State, letter_place, update_place
from storage.mail_tables import InboxRow, OutboxRow

Kept = tuple[int, Place, bytes]  # number, where the body stands, the body


def forget_letters(session: Session, cover: Cover, owner: int, name: str | None) -> int:
    """How many letters of hers that had not left named this person; they never leave.

    A letter that can't be read goes too, and one with a file, which nobody can look into.
    """
    return _forget(session, OutboxRow, list(_letters(session, owner)), cover, name)


def forget_updates(session: Session, house: Cover, chat: str, name: str | None) -> int:
    """How many updates from her chat that were given up named this person; nothing is left."""
    query = select(InboxRow).where(InboxRow.chat == chat, InboxRow.state == State.DEAD)
    kept = [
        (row.number, update_place(row.number), row.body) for row in session.exec(query) if row.body
    ]
    return _forget(session, InboxRow, kept, house, name)


def renew_letters(session: Session, cover: Cover, owner: int | None) -> int:
    """How many letters, hers or nobody's, were sealed anew."""
    return _renew(session, OutboxRow, list(_letters(session, owner)), cover)


def renew_updates(session: Session, house: Cover) -> int:
    """How many updates were sealed anew."""
    kept = [
        (row.number, update_place(row.number), row.body)
        for row in session.exec(select(InboxRow))
        if row.body
    ]
    return _renew(session, InboxRow, kept, house)


def _letters(session: Session, owner: int | None) -> Iterator[Kept]:
    query = select(OutboxRow).where(OutboxRow.owner == owner, OutboxRow.state != State.DONE)
    for row in session.exec(query):
        if row.body:
            yield row.id, letter_place(row.chat, row.post, row.part), row.body


def _forget(
    session: Session,
    rows: type[InboxRow] | type[OutboxRow],
    kept: list[Kept],
    cover: Cover,
    name: str | None,
) -> int:
    gone = [number for number, place, body in kept if _named(cover, place, body, name)]
    table, key = _table(rows)
    for number in gone:
        this = update(table).where(table.c[key] == number)
        session.connection().execute(this.values(state=State.DONE, body=None))
    return len(gone)


def _named(cover: Cover, place: Place, body: bytes, name: str | None) -> bool:
    if name is None:
        return True
    try:
        form = json.loads(cover.opened(place, body))
    except (SealError, ValueError):
        return True
    return "file" in form or mentioned(form, name)


def _renew(
    session: Session, rows: type[InboxRow] | type[OutboxRow], kept: list[Kept], cover: Cover
) -> int:
    table, key = _table(rows)
    count = 0
    for number, place, body in kept:
        if cover.fresh_bytes(body):
            continue
        try:
            sealed = cover.closed(place, cover.opened(place, body))
        except SealError as fault:
            cover.fault(fault)
            continue
        session.connection().execute(
            update(table).where(table.c[key] == number).values(body=sealed)
        )
        count += 1
    return count


def _table(rows: type[InboxRow] | type[OutboxRow]) -> tuple[Table, str]:
    table = rows.metadata.tables[str(rows.__tablename__)]
    return table, "number" if rows is InboxRow else "id"

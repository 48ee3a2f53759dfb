"""Everybody's reminders that are due, handed out so that no two workers say the same one."""

from datetime import datetime, timedelta

from sqlalchemy import Connection, bindparam, or_, select, update
from sqlmodel import Session

from core.instructor import OwnerId
from core.reminder import ReminderId
from storage.diary_tables import ReminderRow
from storage.kept import Claim

TABLE = ReminderRow.metadata.tables["reminder"]
_FREE = or_(TABLE.c.lease_until.is_(None), TABLE.c.lease_until <= bindparam("now"))
_EARLIEST = (
    select(TABLE.c.due)
    .where(TABLE.c.due.is_not(None), TABLE.c.lease_until.is_(None))
    .order_by(TABLE.c.due)
    .limit(1)
)
_DUE = (
    select(TABLE.c.owner, TABLE.c.id, TABLE.c.due)
    .where(TABLE.c.due <= bindparam("now"), TABLE.c.due.is_not(None), _FREE)
    .order_by(TABLE.c.due)
    .limit(bindparam("most"))
    .with_for_update(skip_locked=True)
)
_HERS = _DUE.where(TABLE.c.owner == bindparam("of"))
_TAKE = (
    update(TABLE)
    .where(TABLE.c.owner == bindparam("of"), TABLE.c.id == bindparam("at"))
    .values(lease_until=bindparam("until"), worker=bindparam("who"))
)


def earliest_due(session: Session) -> datetime | None:
    """The instant at which the first reminder nobody has in hand is due; None without any."""
    found: datetime | None = session.connection().scalar(_EARLIEST)
    return found


def claim_due(
    session: Session,
    now: datetime,
    lease: timedelta,
    most: int,
    worker: str,
    owner: OwnerId | None = None,
) -> list[Claim]:
    """Reminders that are due, the longest waiting first, in this worker's hand for the lease.

    Where rows are locked one by one, those that another worker is just taking are passed over.
    """
    connection = session.connection()
    asked = {"now": now, "most": most}
    rows = (
        connection.execute(_DUE, asked).all()
        if owner is None
        else connection.execute(_HERS, asked | {"of": owner}).all()
    )
    if rows:
        until = now + lease
        connection.execute(
            _TAKE, [{"of": r.owner, "at": r.id, "until": until, "who": worker} for r in rows]
        )
    return [Claim(OwnerId(r.owner), ReminderId(r.id), r.due) for r in rows]


def put_off(session: Session, claim: Claim, until: datetime) -> None:
    """Leave a reminder alone until an instant."""
    session.connection().execute(
        _TAKE, {"of": claim.owner, "at": claim.reminder, "until": until, "who": ""}
    )


def give_back(connection: Connection) -> None:
    """Take every reminder out of the hands of workers that are gone."""
    held = update(TABLE).where(TABLE.c.lease_until.is_not(None), TABLE.c.worker != "")
    connection.execute(held.values(lease_until=None, worker=""))

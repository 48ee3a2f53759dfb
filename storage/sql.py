"""The store on a database: SQLite by default, PostgreSQL by its address.

A call is synchronous and may come from any thread; each transaction has its own session.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from copy import deepcopy
from datetime import datetime
from typing import Any

from sqlalchemy import Engine, delete
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col, select

from core.apparatus import Apparatus, ApparatusId
from core.calibration import Reading
from core.codec import plan_to_json
from core.instructor import Habits, Instructor, OwnerId
from core.plan import ClassPlan
from core.record import apparatus_to_table
from core.repertoire import Repertoire
from core.saved import KeptClass, SavedPlan
from storage.engine import READING, open_engine, plain_errors
from storage.errors import StrangerError
from storage.form import Json, group_key, habits_to_json, utc
from storage.migrate import require_current
from storage.tables import (
    ApparatusRow,
    CodeRow,
    ExerciseRow,
    InstructorRow,
    KeptClassRow,
    LineRow,
    PlanRow,
    ReadingRow,
    RemarkRow,
    TalkRow,
)


class SqlVault:
    """All instructors' data in one database."""

    def __init__(self, url: str) -> None:
        """Open the database at this address; it has to be upgraded already.

        Raises:
            NewerError: a newer version of the program has been there.
            OlderError: it has not been upgraded.
            OpenError: it can't be opened.
        """
        self._engine = open_engine(url)
        self._reader = self._engine.execution_options(**{READING: True})
        try:
            with self._session(self._reader) as session:
                require_current(session.connection())
        except BaseException:
            self.close()
            raise

    def owner(self, door: str) -> OwnerId | None:
        """Who speaks from this door, or None for a stranger."""
        with self._session(self._reader) as session:
            return _owner(session, door)

    def admit(self, door: str, zone: str = "") -> OwnerId:
        """The number of whoever speaks from this door, let in if she was not in yet."""
        with self._session(self._engine) as session:
            return _admit(session, door, zone)

    def anybody(self) -> bool:
        """Whether anybody has been admitted yet."""
        with self._session(self._reader) as session:
            return session.exec(select(InstructorRow.id).limit(1)).first() is not None

    def add_code(self, digest: bytes, expires: datetime) -> None:
        """Keep the digest of a one-time code, replacing an earlier expiry."""
        with self._session(self._engine) as session:
            session.merge(CodeRow(digest=digest, expires=utc(expires)))

    def redeem(self, digest: bytes, door: str, now: datetime) -> OwnerId | None:
        """Whom the code behind this digest has let in and is used up by, or None."""
        with self._session(self._engine) as session:
            # Deleting is the check: of two at once, only one can find the row to delete.
            ours = delete(CodeRow).where(
                col(CodeRow.digest) == digest, col(CodeRow.expires) > utc(now)
            )
            used = session.exec(ours).rowcount
            session.exec(delete(CodeRow).where(col(CodeRow.expires) <= utc(now)))
            return _admit(session, door, "") if used else None

    @contextmanager
    def begin(self, owner: OwnerId) -> Iterator["SqlStore"]:
        """One transaction on one instructor's data.

        Raises:
            StrangerError: nobody has this number.
        """
        with self._session(self._engine) as session:
            # Her row is her lock, where the database does not lock as a whole anyway.
            hers = select(InstructorRow).where(InstructorRow.id == owner).with_for_update()
            row = session.exec(hers).one_or_none()
            if row is None:
                raise StrangerError(f"there is no instructor {owner}")
            yield SqlStore(session, row)

    def close(self) -> None:
        """Give back what is held open."""
        self._engine.dispose()

    @contextmanager
    def _session(self, engine: Engine) -> Iterator[Session]:
        # Once closed, a session stays closed: a store kept too long fails instead of writing.
        with (
            plain_errors(engine),
            Session(engine, close_resets_only=False) as session,
            session.begin(),
        ):
            yield session


class SqlStore:
    """One instructor's data inside one transaction; made by `SqlVault.begin` only."""

    def __init__(self, session: Session, row: InstructorRow) -> None:
        self._session = session
        self._row = row
        self._owner = row.id

    def instructor(self) -> Instructor:
        """Who this is."""
        return self._row.to_core()

    def set_zone(self, zone: str) -> None:
        """Keep the zone she has chosen."""
        self._row.zone = zone

    def set_habits(self, habits: Habits) -> None:
        """Keep what she usually asks for."""
        self._row.habits = habits_to_json(habits)

    def add_plan(self, plan: ClassPlan, repertoire: Repertoire, made_at: datetime) -> SavedPlan:
        """The plan as kept, under the next number."""
        saved = SavedPlan(self._row.plans + 1, plan, utc(made_at))
        self._row.plans = saved.number
        self._session.add(
            PlanRow(
                owner=self._owner,
                number=saved.number,
                group_name=plan.brief.group,
                group_key=group_key(plan.brief.group),
                made_at=saved.made_at,
                form=plan_to_json(plan, repertoire, saved.number),
            )
        )
        return saved

    def plan(self, number: int, repertoire: Repertoire) -> SavedPlan | None:
        """The plan of this number, or None.

        Raises:
            StaleError: the library no longer has something in it.
        """
        row = self._session.get(PlanRow, (self._owner, number))
        return row.to_core(repertoire) if row else None

    def latest_plan(self, repertoire: Repertoire, group: str | None = None) -> SavedPlan | None:
        """The plan with the highest number, of this group if one is given.

        Raises:
            StaleError: the library no longer has something in it.
        """
        query = select(PlanRow).where(PlanRow.owner == self._owner)
        if group is not None:
            query = query.where(PlanRow.group_key == group_key(group))
        row = self._session.exec(query.order_by(col(PlanRow.number).desc()).limit(1)).first()
        return row.to_core(repertoire) if row else None

    def groups(self) -> list[str]:
        """Names of the groups that plans were made for, latest first, each once."""
        query = (
            select(PlanRow.group_key, PlanRow.group_name)
            .where(PlanRow.owner == self._owner, PlanRow.group_key != "")
            .order_by(col(PlanRow.number).desc())
        )
        names: dict[str, str] = {}
        for key, name in self._session.exec(query):
            names.setdefault(key, name)
        return list(names.values())

    def keep_class(self, name: str, plan: int) -> KeptClass:
        """The class as kept under this name, in its next version."""
        versions = self._versions(name)
        for row in versions:
            row.retired = False
        row = KeptClassRow(
            owner=self._owner,
            name_key=group_key(name),
            version=len(versions) + 1,
            name=name,
            plan=plan,
        )
        self._session.add(row)
        return row.to_core()

    def kept_classes(self) -> list[KeptClass]:
        """The latest version of every kept class in use, by name."""
        query = select(KeptClassRow).where(
            KeptClassRow.owner == self._owner, col(KeptClassRow.retired).is_(False)
        )
        latest: dict[str, KeptClass] = {}
        for row in self._session.exec(
            query.order_by(KeptClassRow.name_key, col(KeptClassRow.version))
        ):
            latest[row.name_key] = row.to_core()
        return list(latest.values())

    def retire_class(self, name: str) -> bool:
        """Whether there was such a class in use; it no longer is."""
        rows = [row for row in self._versions(name) if not row.retired]
        for row in rows:
            row.retired = True
        return bool(rows)

    def _versions(self, name: str) -> list[KeptClassRow]:
        query = select(KeptClassRow).where(
            KeptClassRow.owner == self._owner, KeptClassRow.name_key == group_key(name)
        )
        return list(self._session.exec(query.order_by(col(KeptClassRow.version))))

    def talk(self, chat: str) -> dict[str, Any]:
        """What the conversation in this chat is about; empty when nothing is open."""
        row = self._session.get(TalkRow, (self._owner, chat))
        return _copy(row.form) if row else {}

    def set_talk(self, chat: str, talk: Json) -> None:
        """Keep what the conversation in this chat is about."""
        self._session.merge(TalkRow(owner=self._owner, chat=chat, form=_copy(talk)))

    def keep_line(self, token: str, line: str) -> None:
        """Keep the line a button stands for, replacing an earlier one of that token."""
        self._session.merge(LineRow(owner=self._owner, token=token, line=line))

    def line(self, token: str) -> str | None:
        """The line kept under a token, or None."""
        row = self._session.get(LineRow, (self._owner, token))
        return row.line if row else None

    def apparatus(self) -> dict[ApparatusId, Apparatus]:
        """Her own descriptions, in the order first described."""
        query = select(ApparatusRow).where(ApparatusRow.owner == self._owner)
        rows = self._session.exec(query.order_by(col(ApparatusRow.id)))
        return {each.id: each for each in (row.to_core() for row in rows)}

    def describe(self, apparatus: Apparatus) -> None:
        """Keep her description, replacing an earlier one."""
        query = select(ApparatusRow).where(
            ApparatusRow.owner == self._owner, ApparatusRow.apparatus == apparatus.id
        )
        form = apparatus_to_table(apparatus)
        row = self._session.exec(query).one_or_none()
        if row is None:
            row = ApparatusRow(owner=self._owner, apparatus=apparatus.id, form=form)
        row.form = form
        self._session.add(row)

    def undescribe(self, apparatus_id: ApparatusId) -> None:
        """Forget her description and her readings of an apparatus."""
        for table in (ApparatusRow, ReadingRow):
            self._session.exec(
                delete(table).where(
                    col(table.owner) == self._owner, col(table.apparatus) == apparatus_id
                )
            )

    def readings(self, apparatus_id: ApparatusId) -> tuple[Reading, ...]:
        """What scales showed on an apparatus, by spring."""
        query = select(ReadingRow).where(
            ReadingRow.owner == self._owner, ReadingRow.apparatus == apparatus_id
        )
        rows = self._session.exec(query.order_by(ReadingRow.token))
        return tuple(row.to_core() for row in rows)

    def keep_reading(self, apparatus_id: ApparatusId, reading: Reading) -> None:
        """Keep what a scale showed, replacing an earlier reading of that spring."""
        self._session.merge(
            ReadingRow(
                owner=self._owner,
                apparatus=apparatus_id,
                token=reading.token,
                top_kg=reading.top_kg,
                bottom_kg=reading.bottom_kg,
                travel_m=reading.travel_m,
            )
        )

    def exercises(self) -> list[dict[str, Any]]:
        """Tables of her own exercises, in the order added, retired ones left out."""
        query = select(ExerciseRow).where(
            ExerciseRow.owner == self._owner, col(ExerciseRow.retired).is_(False)
        )
        rows = self._session.exec(query.order_by(col(ExerciseRow.id)))
        return [_copy(row.form) for row in rows]

    def keep_exercise(self, exercise_id: str, table: Json) -> None:
        """Keep an exercise of her own in use, at the place it had if it had one."""
        row = self._exercise(exercise_id)
        if row is None:
            row = ExerciseRow(owner=self._owner, exercise=exercise_id, form=_copy(table))
        row.form, row.retired = _copy(table), False
        self._session.add(row)

    def retire_exercise(self, exercise_id: str) -> bool:
        """Whether there was such an exercise in use; it no longer is."""
        row = self._exercise(exercise_id)
        if row is None or row.retired:
            return False
        row.retired = True
        return True

    def remarks(self, exercise_id: str) -> list[str]:
        """Her own cues and notes on an exercise, in the order written."""
        query = select(RemarkRow.text).where(
            RemarkRow.owner == self._owner, RemarkRow.exercise == exercise_id
        )
        return list(self._session.exec(query.order_by(col(RemarkRow.id))))

    def add_remark(self, exercise_id: str, text: str) -> None:
        """Keep a cue or note on an exercise."""
        self._session.add(RemarkRow(owner=self._owner, exercise=exercise_id, text=text))

    def _exercise(self, exercise_id: str) -> ExerciseRow | None:
        query = select(ExerciseRow).where(
            ExerciseRow.owner == self._owner, ExerciseRow.exercise == exercise_id
        )
        return self._session.exec(query).one_or_none()


def _owner(session: Session, door: str) -> OwnerId | None:
    found = session.exec(select(InstructorRow.id).where(InstructorRow.door == door)).one_or_none()
    return None if found is None else OwnerId(found)


def _admit(session: Session, door: str, zone: str) -> OwnerId:
    known = _owner(session, door)
    if known is not None:
        return known
    row = InstructorRow(door=door, zone=zone, habits=habits_to_json(Habits()))
    try:
        with session.begin_nested():
            session.add(row)
    except IntegrityError:
        # Where only rows are locked, somebody at the same door may have been quicker.
        known = _owner(session, door)
        if known is None:
            raise
        return known
    return OwnerId(row.id)


def _copy(form: Json) -> dict[str, Any]:
    """A document that shares nothing with this one: what a caller does to hers stays hers."""
    return deepcopy(dict(form))

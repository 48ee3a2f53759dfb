"""One instructor's data in a database, inside one transaction."""

from copy import deepcopy
from datetime import datetime
from typing import Any

from sqlalchemy import Table, bindparam, func
from sqlalchemy import select as columns
from sqlmodel import col, select

from core.codec import plan_from_json, plan_to_json
from core.instructor import Habits, Instructor, OwnerId
from core.plan import ClassPlan
from core.repertoire import Repertoire
from core.saved import DatedPlan, KeptClass, SavedPlan
from storage.cover import KEY_MISSING, Cover, name_and, with_name
from storage.crypto import Seal
from storage.diary import Diary
from storage.errors import KeyMissingError, SealError
from storage.form import Json, group_key, habits_to_json, utc
from storage.hers import Hers
from storage.people import People
from storage.places import group_place, kept_place, line_place, plan_place, talk_place
from storage.sql_drawers import Books, SqlDrawers
from storage.sql_mail import SqlMail, replacing
from storage.sql_shelf import SqlShelf
from storage.sql_taught import SqlTaught
from storage.tables import KeptClassRow, LineRow, PlanRow, Row
from storage.tie import Tie

TALK, LINES = Row.metadata.tables["talk"], Row.metadata.tables["line"]
TALKED = columns(TALK.c.form).where(TALK.c.owner == bindparam("of"), TALK.c.chat == bindparam("at"))
TOLD = columns(LINES.c.line).where(
    LINES.c.owner == bindparam("of"), LINES.c.token == bindparam("at")
)


class SqlStore(SqlShelf, SqlTaught):
    """One instructor's data inside one transaction; made by `SqlVault.begin` only.

    Attributes:
        mail: what is sent, and which update is answered, by this transaction.
    """

    def __init__(self, tie: Tie, row: Hers, seal: Seal | None, books: Books) -> None:
        super().__init__(tie, row.id, Cover(seal))
        self._row = row
        self._talks: dict[str, dict[str, Any]] = {}
        self.drawers = SqlDrawers(tie, row, seal, books) if seal else None
        self.mail = SqlMail(tie, self._cover, OwnerId(row.id))

    @property
    def people(self) -> People:
        """Her clients and groups.

        Raises:
            KeyMissingError: the store was opened without keys.
        """
        if self.drawers is None:
            raise KeyMissingError(KEY_MISSING)
        return People(self.drawers)

    @property
    def diary(self) -> Diary:
        """Her classes, holidays and reminders.

        Raises:
            KeyMissingError: the store was opened without keys.
        """
        if self.drawers is None:
            raise KeyMissingError(KEY_MISSING)
        return Diary(self.drawers)

    @property
    def faults(self) -> tuple[SealError, ...]:
        """What could not be read in this transaction and was left out."""
        return self._cover.faults

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
        form = plan_to_json(plan, repertoire, saved.number)
        self._session.add(
            PlanRow(
                owner=self._owner,
                number=saved.number,
                group_name=self._cover.text(group_place(saved.number), plan.brief.group),
                group_key=self._cover.key("plan", group_key(plan.brief.group)),
                starts=form["brief"].get("starts") or "",
                made_at=saved.made_at,
                form=self._cover.form(plan_place(saved.number), form),
            )
        )
        return saved

    def plan(self, number: int, repertoire: Repertoire) -> SavedPlan | None:
        """The plan of this number, or None.

        Raises:
            StaleError: the library no longer has something in it.
        """
        if number > self._row.plans:
            return None  # nor is a database asked for a number that it can't hold
        row = self._session.get(PlanRow, (self._owner, number))
        return self._plan(row, repertoire) if row else None

    def latest_plan(self, repertoire: Repertoire, group: str | None = None) -> SavedPlan | None:
        """The plan with the highest number, of this group if one is given.

        Raises:
            StaleError: the library no longer has something in it.
        """
        query = select(PlanRow).where(PlanRow.owner == self._owner)
        if group is not None:
            known = self._cover.keys("plan", group_key(group))
            query = query.where(col(PlanRow.group_key).in_(known))
        row = self._session.exec(query.order_by(col(PlanRow.number).desc()).limit(1)).first()
        return self._plan(row, repertoire) if row else None

    def plans_between(self, first: datetime, last: datetime) -> list[DatedPlan]:
        """The plans of classes that begin from `first` up to `last`, by their beginning."""
        self._look_when()
        query = (
            select(PlanRow.starts, func.max(PlanRow.number))
            .where(
                PlanRow.owner == self._owner,
                col(PlanRow.starts) >= first.isoformat(timespec="minutes"),
                col(PlanRow.starts) <= last.isoformat(timespec="minutes"),
            )
            .group_by(col(PlanRow.starts))
            .order_by(col(PlanRow.starts))
        )
        return [
            DatedPlan(number, datetime.fromisoformat(starts))
            for starts, number in self._session.exec(query)
            if starts
        ]

    def _look_when(self) -> None:
        """Give plans that were kept before there was a column for it their beginning."""
        query = select(PlanRow).where(PlanRow.owner == self._owner, col(PlanRow.starts).is_(None))
        for row in self._session.exec(query):
            row.starts = ""
            try:
                form = self._cover.read_form(plan_place(row.number), row.form)
            except SealError as fault:
                self._cover.fault(fault)
            else:
                row.starts = form["brief"].get("starts") or ""
        self._session.flush()

    def groups(self) -> list[str]:
        """Names of the groups that plans were made for, latest first, each once."""
        latest = (
            select(func.max(PlanRow.number))
            .where(PlanRow.owner == self._owner, PlanRow.group_key != "")
            .group_by(PlanRow.group_key)
        )
        query = select(PlanRow.number, PlanRow.group_name).where(
            PlanRow.owner == self._owner, col(PlanRow.number).in_(latest)
        )
        names: dict[str, str] = {}
        for number, kept in self._session.exec(query.order_by(col(PlanRow.number).desc())):
            try:
                name = self._cover.read(group_place(number), kept)
            except SealError as fault:
                self._cover.fault(fault)
                continue
            # One name may stand under several keys, until all plans are under the newest.
            names.setdefault(group_key(name), name)
        return list(names.values())

    def _plan(self, row: PlanRow, repertoire: Repertoire) -> SavedPlan:
        form = self._cover.read_form(plan_place(row.number), row.form)
        return SavedPlan(row.number, plan_from_json(form, repertoire), row.made_at)

    def keep_class(self, name: str, plan: int) -> KeptClass:
        """The class as kept under this name, in its next version."""
        versions = self._versions(name)
        for row in versions:
            row.retired = False
        kept = KeptClass(name, max((row.version for row in versions), default=0) + 1, plan)
        key = self._cover.key("kept_class", group_key(name))
        place = kept_place(key, kept.version, plan)
        self._session.add(
            KeptClassRow(
                owner=self._owner,
                name_key=key,
                version=kept.version,
                name=self._cover.text(place, name),
                plan=plan,
            )
        )
        return kept

    def kept_classes(self) -> list[KeptClass]:
        """The latest version of every kept class in use, by name."""
        query = select(KeptClassRow).where(
            KeptClassRow.owner == self._owner, col(KeptClassRow.retired).is_(False)
        )
        latest: dict[str, KeptClass] = {}
        for row in self._session.exec(query.order_by(col(KeptClassRow.version))):
            try:
                name = self._cover.read(kept_place(row.name_key, row.version, row.plan), row.name)
            except SealError as fault:
                self._cover.fault(fault)
                continue
            latest[group_key(name)] = KeptClass(name, row.version, row.plan)
        return [kept for _, kept in sorted(latest.items())]

    def retire_class(self, name: str) -> bool:
        """Whether there was such a class in use; it no longer is."""
        rows = [row for row in self._versions(name) if not row.retired]
        for row in rows:
            row.retired = True
        return bool(rows)

    def _versions(self, name: str) -> list[KeptClassRow]:
        known = self._cover.keys("kept_class", group_key(name))
        query = select(KeptClassRow).where(
            KeptClassRow.owner == self._owner, col(KeptClassRow.name_key).in_(known)
        )
        return list(self._session.exec(query.order_by(col(KeptClassRow.version))))

    def talk(self, chat: str) -> dict[str, Any]:
        """What the conversation in this chat is about; empty when nothing is open."""
        erased = self.drawers is not None and self.drawers.erased
        if chat not in self._talks or erased:
            self._talks[chat] = self._read_talk(chat)
        return deepcopy(self._talks[chat])

    def set_talk(self, chat: str, talk: Json) -> None:
        """Keep what the conversation in this chat is about."""
        form = self._cover.form(talk_place(chat), talk)
        self._replace(TALK, {"owner": self._owner, "chat": chat, "form": form})
        self._talks[chat] = deepcopy(dict(talk))

    def _read_talk(self, chat: str) -> dict[str, Any]:
        form = self._connection.scalar(TALKED, {"of": self._owner, "at": chat})
        try:
            return self._cover.read_form(talk_place(chat), form) if form else {}
        except SealError as fault:
            self._cover.fault(fault)
            return {}

    def keep_line(self, token: str, line: str) -> None:
        """Keep the line a button stands for, replacing an earlier one of that token."""
        # What is not keyed could be guessed at: a line may name a client and her knee.
        key = self._cover.key("line", token)
        known = self._connection.scalar(TOLD, {"of": self._owner, "at": key})
        told = with_name(key, token, line)
        if known is not None and self._says(key, known, told):
            return
        kept = self._cover.text(line_place(key), told)
        self._replace(LINES, {"owner": self._owner, "token": key, "line": kept})

    def line(self, token: str) -> str | None:
        """The line kept under a token, or None."""
        known = self._cover.keys("line", token)
        query = select(LineRow).where(LineRow.owner == self._owner, col(LineRow.token).in_(known))
        found = {row.token: row for row in self._session.exec(query)}
        newest_first = (*known[1:], known[0])
        row = next((found[key] for key in newest_first if key in found), None)
        try:
            kept = self._cover.read(line_place(row.token), row.line) if row else None
        except SealError as fault:
            self._cover.fault(fault)
            return None
        return name_and(row.token, kept)[1] if row and kept is not None else None

    def _says(self, key: str, kept: str, told: str) -> bool:
        """Whether this is kept already, as it would be kept now."""
        try:
            known = self._cover.read(line_place(key), kept)
        except SealError:
            return False
        return known == told and self._cover.fresh(kept)

    def _replace(self, table: Table, row: Json) -> None:
        self._tie.flush()
        self._connection.execute(replacing(self._connection.dialect.name, table), row)

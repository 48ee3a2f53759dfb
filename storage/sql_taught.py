"""An instructor's taught classes, and what was learned from them, in a database."""

from typing import Any

from sqlmodel import col, select

from core.taught import TaughtClass
from storage.errors import SealError
from storage.form import Json, group_key, utc
from storage.places import group_place
from storage.tables import LearnedRow, PlanRow, TaughtRow
from storage.taught_form import taught_from_json, taught_to_json
from storage.tie import Tied


class SqlTaught(Tied):
    """What was taught, inside one transaction."""

    def keep_taught(self, taught: TaughtClass) -> None:
        """Keep a taught class, replacing what was kept of the same plan."""
        self._session.merge(
            TaughtRow(
                owner=self._owner,
                plan=taught.plan,
                at=utc(taught.at),
                form=taught_to_json(taught),
            )
        )

    def taught(self, limit: int | None = None, group: str | None = None) -> list[TaughtClass]:
        """Taught classes, newest first; of this group if one is given (folded names match)."""
        query = (
            select(TaughtRow, PlanRow.group_name)
            .where(TaughtRow.owner == self._owner, PlanRow.owner == self._owner)
            .where(TaughtRow.plan == PlanRow.number)
            .order_by(col(TaughtRow.at).desc(), col(TaughtRow.plan).desc())
        )
        if group is not None:
            known = self._cover.keys("plan", group_key(group))
            query = query.where(col(PlanRow.group_key).in_(known))
        rows = self._session.exec(query.limit(limit)).all()
        return [
            taught_from_json(row.form, row.plan, row.at, self._group(row.plan, name))
            for row, name in rows
        ]

    def taught_class(self, plan: int) -> TaughtClass | None:
        """What was taught by this plan, or None."""
        row = self._session.get(TaughtRow, (self._owner, plan))
        made = self._session.get(PlanRow, (self._owner, plan))
        if row is None or made is None:
            return None
        return taught_from_json(row.form, plan, row.at, self._group(plan, made.group_name))

    def untaught(self, plan: int) -> bool:
        """Whether there was such a taught class; it no longer is."""
        row = self._session.get(TaughtRow, (self._owner, plan))
        if row is None:
            return False
        self._session.delete(row)
        self._session.flush()
        return True

    def learned(self, about: str) -> dict[str, Any]:
        """What was learned about something; empty when nothing was."""
        row = self._session.get(LearnedRow, (self._owner, about))
        return dict(row.form) if row else {}

    def keep_learned(self, about: str, form: Json) -> None:
        """Keep what was learned about something, replacing what was."""
        self._session.merge(LearnedRow(owner=self._owner, about=about, form=dict(form)))

    def _group(self, plan: int, kept: str) -> str:
        try:
            return self._cover.read(group_place(plan), kept)
        except SealError as fault:
            self._cover.fault(fault)
            return ""

"""Where else in the database a client is named: buttons, conversations, plans made for her."""

from sqlalchemy import delete
from sqlmodel import Session, col, select

from storage.cover import Cover
from storage.crypto import Place, Seal
from storage.drawers import mentioned, mentions
from storage.errors import SealError
from storage.form import group_key
from storage.tables import LineRow, PlanRow, TalkRow


class Mentions:
    """One instructor's lines, conversations and plans inside one transaction.

    Attributes:
        erased: whether something was taken out for good.
    """

    def __init__(self, session: Session, owner: int, seal: Seal) -> None:
        self._session = session
        self._owner = owner
        self._cover = Cover(seal)
        self.erased = False

    def lines(self) -> list[str]:
        """The lines that buttons stand for."""
        lines = []
        for row in self._session.exec(select(LineRow).where(LineRow.owner == self._owner)):
            try:
                lines.append(self._cover.read(line_place(row.token), row.line))
            except SealError as fault:
                self._cover.fault(fault)
        return lines

    def plans_for(self, name: str) -> list[int]:
        """The numbers of the plans made for this name."""
        query = select(PlanRow.number).where(
            PlanRow.owner == self._owner,
            col(PlanRow.group_key).in_(self._cover.keys("plan", group_key(name))),
        )
        return list(self._session.exec(query.order_by(col(PlanRow.number))))

    def forget(self, name: str | None) -> dict[str, int]:
        """How many lines, conversations and plans named this person; they no longer do.

        Without a name, because it can't be read, all lines and conversations go.
        """
        self.erased = True
        self._session.flush()
        if name is None:
            lines = delete(LineRow).where(col(LineRow.owner) == self._owner)
            talks = delete(TalkRow).where(col(TalkRow.owner) == self._owner)
            return {
                "lines": self._session.exec(lines).rowcount,
                "talks": self._session.exec(talks).rowcount,
                "plans": 0,
            }
        return {
            "lines": self._forget_lines(name),
            "talks": self._forget_talks(name),
            "plans": self._forget_plans(name),
        }

    def renew_mentions(self) -> int:
        """How many lines, conversations and plans were sealed anew, or for the first time."""
        rows: list[LineRow | TalkRow | PlanRow] = [
            *self._session.exec(select(LineRow).where(LineRow.owner == self._owner)),
            *self._session.exec(select(TalkRow).where(TalkRow.owner == self._owner)),
            *self._session.exec(select(PlanRow).where(PlanRow.owner == self._owner)),
        ]
        return sum(map(self._renew, rows))

    def _renew(self, row: LineRow | TalkRow | PlanRow) -> bool:
        try:
            match row:
                case LineRow():
                    place = line_place(row.token)
                    if self._cover.fresh(row.line):
                        return False
                    row.line = self._cover.text(place, self._cover.read(place, row.line))
                case TalkRow():
                    place = talk_place(row.chat)
                    if self._cover.fresh_form(row.form):
                        return False
                    row.form = self._cover.form(place, self._cover.read_form(place, row.form))
                case PlanRow():
                    return self._renew_plan(row)
        except SealError as fault:
            self._cover.fault(fault)
            return False
        return True

    def _renew_plan(self, row: PlanRow) -> bool:
        if self._cover.fresh(row.group_name) and self._cover.fresh_form(row.form):
            return False
        plan, group = plan_place(row.number), group_place(row.number)
        name = self._cover.read(group, row.group_name)
        form = self._cover.read_form(plan, row.form)
        row.group_name = self._cover.text(group, name)
        row.group_key = self._cover.key("plan", group_key(name))
        row.form = self._cover.form(plan, form)
        return True

    def _forget_lines(self, name: str) -> int:
        gone = 0
        for row in self._session.exec(select(LineRow).where(LineRow.owner == self._owner)).all():
            try:
                named = mentions(self._cover.read(line_place(row.token), row.line), name)
            except SealError:
                named = True
            if named:
                self._session.delete(row)
                gone += 1
        return gone

    def _forget_talks(self, name: str) -> int:
        gone = 0
        for row in self._session.exec(select(TalkRow).where(TalkRow.owner == self._owner)).all():
            try:
                named = mentioned(self._cover.read_form(talk_place(row.chat), row.form), name)
            except SealError:
                named = True
            if named:
                self._session.delete(row)
                gone += 1
        return gone

    def _forget_plans(self, name: str) -> int:
        numbers = self.plans_for(name)
        for number in numbers:
            row = self._session.get_one(PlanRow, (self._owner, number))
            row.group_key = ""
            row.group_name = self._cover.text(group_place(number), "")
            try:
                form = self._cover.read_form(plan_place(number), row.form)
            except SealError:
                continue  # nobody can read it, and the name goes with it
            row.form = self._cover.form(
                plan_place(number), form | {"brief": form["brief"] | {"group": ""}}
            )
        return len(numbers)


def line_place(token: str) -> Place:
    """Where the line of a button stands."""
    return Place("line", "line", token)


def talk_place(chat: str) -> Place:
    """Where stands what a conversation is about."""
    return Place("talk", "form", chat)


def plan_place(number: int) -> Place:
    """Where a plan stands."""
    return Place("plan", "form", number)


def group_place(number: int) -> Place:
    """Where the name of a plan's group stands."""
    return Place("plan", "group_name", number)

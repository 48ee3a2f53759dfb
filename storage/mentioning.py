"""Where else in the database a client is named: buttons, conversations, plans made for her."""

from collections.abc import Iterator

from sqlalchemy import delete
from sqlmodel import col, select

from storage.cover import Cover, name_and
from storage.crypto import Place, Seal
from storage.drawers import mentioned, mentions
from storage.errors import SealError
from storage.form import group_key
from storage.mail import HOUSE
from storage.mail_rows import forget_letters, forget_updates, renew_letters
from storage.places import (
    exercise_place,
    group_place,
    kept_place,
    line_place,
    plan_place,
    remark_place,
    talk_place,
)
from storage.renewing import Covered, renewed
from storage.tables import (
    ExerciseRow,
    InstructorRow,
    KeptClassRow,
    LineRow,
    PlanRow,
    RemarkRow,
    TalkRow,
)
from storage.tie import Tie, Tied


class Mentions(Tied):
    """One instructor's lines, conversations and plans inside one transaction.

    Attributes:
        erased: whether something was taken out for good.
    """

    def __init__(self, tie: Tie, owner: int, seal: Seal) -> None:
        super().__init__(tie, owner, Cover(seal))
        self._house = Cover(seal.of(HOUSE))
        self.erased = False

    def lines(self) -> list[str]:
        """The lines that buttons stand for."""
        lines = []
        for row in self._session.exec(select(LineRow).where(LineRow.owner == self._owner)):
            try:
                lines.append(self._line(row))
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
        """How many lines, conversations, plans and kept classes named her; they no longer do.

        Without a name, because it can't be read, all lines and conversations go. So do messages
        that name her and have not left.
        """
        self.erased = True
        self._session.flush()
        forget_letters(self._session, self._cover, self._owner, name)
        door = self._session.get_one(InstructorRow, self._owner).door
        forget_updates(self._session, self._house, door, name)
        if name is None:
            lines = delete(LineRow).where(col(LineRow.owner) == self._owner)
            talks = delete(TalkRow).where(col(TalkRow.owner) == self._owner)
            return {
                "lines": self._session.exec(lines).rowcount,
                "talks": self._session.exec(talks).rowcount,
                "plans": 0,
                "kept": 0,
            }
        return {
            "lines": self._forget_lines(name),
            "talks": self._forget_talks(name),
            "plans": self._forget_plans(name),
            "kept": self._forget_kept(name),
        }

    def named_elsewhere(self, name: str) -> int:
        """How many kept classes, remarks and exercises of her own have this name in them."""
        return sum(mentioned(text, name) for text in self._shelf())

    def renew_mentions(self) -> int:
        """How many rows with covered texts were sealed anew, or for the first time."""
        rows: list[Covered] = [
            *self._session.exec(select(LineRow).where(LineRow.owner == self._owner)),
            *self._session.exec(select(TalkRow).where(TalkRow.owner == self._owner)),
            *self._session.exec(select(PlanRow).where(PlanRow.owner == self._owner)),
            *self._session.exec(select(KeptClassRow).where(KeptClassRow.owner == self._owner)),
            *self._session.exec(select(ExerciseRow).where(ExerciseRow.owner == self._owner)),
            *self._session.exec(select(RemarkRow).where(RemarkRow.owner == self._owner)),
        ]
        letters = renew_letters(self._session, self._cover, self._owner)
        return letters + sum(map(self._renew, rows))

    def _renew(self, row: Covered) -> bool:
        try:
            return renewed(row, self._cover, self._session)
        except SealError as fault:
            self._cover.fault(fault)
            return False

    def _shelf(self) -> Iterator[object]:
        """What her kept classes, exercises and remarks say; what can't be read is left out."""
        for row in self._session.exec(
            select(KeptClassRow).where(KeptClassRow.owner == self._owner)
        ):
            yield self._read(kept_place(row.name_key, row.version, row.plan), row.name)
        for own in self._session.exec(select(ExerciseRow).where(ExerciseRow.owner == self._owner)):
            try:
                yield self._cover.read_form(exercise_place(own.exercise), own.form)
            except SealError as fault:
                self._cover.fault(fault)
        for remark in self._session.exec(select(RemarkRow).where(RemarkRow.owner == self._owner)):
            kept = self._read(remark_place(remark.exercise, remark.id), remark.text)
            yield name_and(remark.exercise, kept)[1]

    def _read(self, place: Place, kept: str) -> str:
        try:
            return self._cover.read(place, kept)
        except SealError as fault:
            self._cover.fault(fault)
            return ""

    def _line(self, row: LineRow) -> str:
        return name_and(row.token, self._cover.read(line_place(row.token), row.line))[1]

    def _forget_lines(self, name: str) -> int:
        gone = 0
        for row in self._session.exec(select(LineRow).where(LineRow.owner == self._owner)).all():
            try:
                named = mentions(self._line(row), name)
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

    def _forget_kept(self, name: str) -> int:
        known = self._cover.keys("kept_class", group_key(name))
        hers = select(KeptClassRow).where(
            KeptClassRow.owner == self._owner, col(KeptClassRow.name_key).in_(known)
        )
        rows = self._session.exec(hers).all()
        for row in rows:
            self._session.delete(row)
        return len(rows)

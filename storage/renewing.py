"""Rows with covered texts sealed anew under the newest key, or for the first time."""

from sqlmodel import Session

from storage.cover import SIGN, Cover, name_and, with_name
from storage.form import group_key
from storage.places import (
    exercise_place,
    group_place,
    kept_place,
    line_place,
    plan_place,
    remark_place,
    talk_place,
)
from storage.tables import ExerciseRow, KeptClassRow, LineRow, PlanRow, RemarkRow, TalkRow

Covered = LineRow | TalkRow | PlanRow | KeptClassRow | ExerciseRow | RemarkRow


def renewed(row: Covered, cover: Cover, session: Session) -> bool:
    """Whether the row needed it; it is sealed anew.

    Raises:
        SealError: it can't be read; it is as it was.
    """
    match row:
        case LineRow():
            return _line(row, cover, session)
        case TalkRow():
            return _talk(row, cover)
        case PlanRow():
            return _plan(row, cover)
        case KeptClassRow():
            return _kept(row, cover)
        case ExerciseRow():
            return _exercise(row, cover)
        case RemarkRow():
            return _remark(row, cover)


def _line(row: LineRow, cover: Cover, session: Session) -> bool:
    if cover.fresh(row.line) and row.token.startswith(SIGN):
        return False
    token, line = name_and(row.token, cover.read(line_place(row.token), row.line))
    key = cover.key("line", token)
    if key != row.token and session.get(LineRow, (row.owner, key)) is not None:
        session.delete(row)  # the same line was kept again meanwhile
        return True
    row.token = key
    row.line = cover.text(line_place(key), with_name(key, token, line))
    return True


def _talk(row: TalkRow, cover: Cover) -> bool:
    if cover.fresh_form(row.form):
        return False
    place = talk_place(row.chat)
    row.form = cover.form(place, cover.read_form(place, row.form))
    return True


def _plan(row: PlanRow, cover: Cover) -> bool:
    if cover.fresh(row.group_name) and cover.fresh_form(row.form) and row.starts is not None:
        return False
    plan, group = plan_place(row.number), group_place(row.number)
    name = cover.read(group, row.group_name)
    form = cover.read_form(plan, row.form)
    row.group_name = cover.text(group, name)
    row.group_key = cover.key("plan", group_key(name))
    row.form = cover.form(plan, form)
    row.starts = form["brief"].get("starts") or ""
    return True


def _kept(row: KeptClassRow, cover: Cover) -> bool:
    if cover.fresh(row.name):
        return False
    name = cover.read(kept_place(row.name_key, row.version, row.plan), row.name)
    row.name_key = cover.key("kept_class", group_key(name))
    row.name = cover.text(kept_place(row.name_key, row.version, row.plan), name)
    return True


def _exercise(row: ExerciseRow, cover: Cover) -> bool:
    if cover.fresh_form(row.form):
        return False
    form = cover.read_form(exercise_place(row.exercise), row.form)
    row.exercise = cover.key("exercise", str(form["id"]))
    row.form = cover.form(exercise_place(row.exercise), form)
    return True


def _remark(row: RemarkRow, cover: Cover) -> bool:
    if cover.fresh(row.text) and row.exercise.startswith(SIGN):
        return False
    kept = cover.read(remark_place(row.exercise, row.id), row.text)
    exercise, text = name_and(row.exercise, kept)
    row.exercise = cover.key("remark", exercise)
    row.text = cover.text(
        remark_place(row.exercise, row.id), with_name(row.exercise, exercise, text)
    )
    return True

"""Taught classes and attendances <-> their plain forms."""

import json
from dataclasses import asdict
from datetime import datetime
from typing import Any

from core.client import ClientId
from core.exercise import ExerciseId
from core.taught import Attendance, Done, TaughtClass, TaughtItem
from storage.drawers import Sheet
from storage.form import Json


def taught_to_json(taught: TaughtClass) -> dict[str, Any]:
    """The plain form of a taught class, without its plan, its time and the name of its group."""
    form = asdict(taught)
    for elsewhere in ("plan", "at", "group"):
        del form[elsewhere]
    form["items"] = [{**item, "kinds": list(item["kinds"])} for item in form["items"]]
    return form


def taught_from_json(form: Json, plan: int, at: datetime, group: str) -> TaughtClass:
    """The taught class whose plain form this is."""
    items = (
        TaughtItem(
            **{**item, "exercise": ExerciseId(item["exercise"]), "kinds": tuple(item["kinds"])}
        )
        for item in form["items"]
    )
    return TaughtClass(**{**form, "plan": plan, "at": at, "group": group, "items": tuple(items)})


def attendance_to_json(attendance: Attendance) -> dict[str, Any]:
    """The plain form of an attendance, as exported."""
    return {
        "plan": attendance.plan,
        "at": attendance.at.isoformat(),
        "there": attendance.there,
        "effort": attendance.effort,
        "lasted_s": attendance.lasted_s,
        "note": attendance.note,
        "did": [asdict(done) for done in attendance.did],
    }


def attendance_to_sheet(number: int, attendance: Attendance, at: datetime) -> Sheet:
    """An attendance as kept; `at` is when the class began, in UTC."""
    text = json.dumps(attendance_to_json(attendance), ensure_ascii=False, separators=(",", ":"))
    return Sheet(number, {"form": text}, attendance.client, at)


def attendance_from_sheet(sheet: Sheet) -> Attendance:
    """The attendance kept so."""
    assert sheet.client is not None  # an attendance is a client's ...
    assert sheet.made_at is not None  # ... at a class that began at a time
    form = json.loads(sheet.texts["form"])
    did = tuple(Done(ExerciseId(d["exercise"]), d["springs"], d["reps"]) for d in form["did"])
    return Attendance(
        ClientId(sheet.client),
        form["plan"],
        sheet.made_at,
        form["there"],
        form["effort"],
        form["lasted_s"],
        form["note"],
        did,
    )

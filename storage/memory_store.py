"""One instructor's data in memory, inside one transaction.

Documents are held as JSON text, as a database would: what can't be stored fails here too, and no
caller holds a piece of the store.
"""

import json
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from core.apparatus import Apparatus, ApparatusId
from core.calibration import Reading
from core.codec import plan_from_json, plan_to_json
from core.instructor import Habits, Instructor
from core.plan import ClassPlan
from core.record import apparatus_from_table, apparatus_to_table
from core.repertoire import Repertoire
from core.saved import DatedPlan, KeptClass, SavedPlan
from storage.diary import Diary
from storage.errors import SealError
from storage.form import Json, group_key, habits_from_json, habits_to_json, utc
from storage.memory_drawers import Filed, KeptPlan, MemoryDrawers, OwnExercise, Shelf
from storage.memory_mail import Boxes, MemoryMail
from storage.memory_taught import Logged, MemoryTaught
from storage.people import People


@dataclass(slots=True)
class Data:
    """One instructor's data; every value in it is immutable, only the containers change."""

    instructor: Instructor
    admitted_at: datetime | None = None
    revoked: bool = False
    filed: Filed = field(default_factory=Filed)
    plans: list[KeptPlan] = field(default_factory=list)
    talks: dict[str, str] = field(default_factory=dict)
    lines: dict[str, str] = field(default_factory=dict)
    apparatus: dict[ApparatusId, str] = field(default_factory=dict)
    readings: dict[tuple[ApparatusId, str], Reading] = field(default_factory=dict)
    shelf: Shelf = field(default_factory=Shelf)
    logged: Logged = field(default_factory=Logged)


class MemoryStore(MemoryTaught):
    """One instructor's data inside one transaction; made by `MemoryVault.begin` only.

    Attributes:
        mail: what is sent, and which update is answered, by this transaction.
    """

    def __init__(self, data: Data, boxes: Boxes) -> None:
        self._data = data
        self._boxes = boxes
        self.mail = MemoryMail(boxes, data.instructor.id, data.instructor.door)
        super().__init__(data.logged, data.plans)

    @property
    def people(self) -> People:
        """Her clients and groups."""
        data = self._data
        return People(
            MemoryDrawers(
                data.filed, data.lines, data.talks, data.plans, data.shelf, self.mail.forget
            )
        )

    @property
    def diary(self) -> Diary:
        """Her classes, holidays and reminders."""
        data = self._data
        return Diary(
            MemoryDrawers(
                data.filed, data.lines, data.talks, data.plans, data.shelf, self.mail.forget
            )
        )

    @property
    def faults(self) -> tuple[SealError, ...]:
        """What could not be read and was left out, which is nothing."""
        return ()

    def instructor(self) -> Instructor:
        """Who this is."""
        return self._data.instructor

    def set_zone(self, zone: str) -> None:
        """Keep the zone she has chosen."""
        self._data.instructor = replace(self._data.instructor, zone=zone)

    def set_habits(self, habits: Habits) -> None:
        """Keep what she usually asks for."""
        kept = habits_from_json(json.loads(json.dumps(habits_to_json(habits))))
        self._data.instructor = replace(self._data.instructor, habits=kept)

    def add_plan(self, plan: ClassPlan, repertoire: Repertoire, made_at: datetime) -> SavedPlan:
        """The plan as kept, under the next number."""
        saved = SavedPlan(len(self._data.plans) + 1, plan, utc(made_at))
        form = json.dumps(plan_to_json(plan, repertoire, saved.number))
        self._data.plans.append(KeptPlan(saved.number, plan.brief.group, saved.made_at, form))
        return saved

    def plan(self, number: int, repertoire: Repertoire) -> SavedPlan | None:
        """The plan of this number, or None.

        Raises:
            StaleError: the library no longer has something in it.
        """
        if not 1 <= number <= len(self._data.plans):
            return None
        return _plan(self._data.plans[number - 1], repertoire)

    def latest_plan(self, repertoire: Repertoire, group: str | None = None) -> SavedPlan | None:
        """The plan with the highest number, of this group if one is given.

        Raises:
            StaleError: the library no longer has something in it.
        """
        for plan in reversed(self._data.plans):
            if group is None or group_key(plan.group) == group_key(group):
                return _plan(plan, repertoire)
        return None

    def plans_between(self, first: datetime, last: datetime) -> list[DatedPlan]:
        """The plans of classes that begin from `first` up to `last`, by their beginning."""
        found: dict[datetime, int] = {}
        for plan in self._data.plans:
            starts = _loaded(plan.form)["brief"].get("starts")
            if starts and first <= datetime.fromisoformat(starts) <= last:
                found[datetime.fromisoformat(starts)] = plan.number
        return [DatedPlan(number, starts) for starts, number in sorted(found.items())]

    def groups(self) -> list[str]:
        """Names of the groups that plans were made for, latest first, each once."""
        names: dict[str, str] = {}
        for plan in reversed(self._data.plans):
            if key := group_key(plan.group):
                names.setdefault(key, plan.group)
        return list(names.values())

    def keep_class(self, name: str, plan: int) -> KeptClass:
        """The class as kept under this name, in its next version."""
        versions = self._data.shelf.kept.setdefault(group_key(name), [])
        versions.append(KeptClass(name, len(versions) + 1, plan))
        self._data.shelf.put_away.discard(group_key(name))
        return versions[-1]

    def kept_classes(self) -> list[KeptClass]:
        """The latest version of every kept class in use, by name."""
        kept = sorted(self._data.shelf.kept.items())
        return [versions[-1] for key, versions in kept if key not in self._data.shelf.put_away]

    def retire_class(self, name: str) -> bool:
        """Whether there was such a class in use; it no longer is."""
        key = group_key(name)
        if key not in self._data.shelf.kept or key in self._data.shelf.put_away:
            return False
        self._data.shelf.put_away.add(key)
        return True

    def talk(self, chat: str) -> dict[str, Any]:
        """What the conversation in this chat is about; empty when nothing is open."""
        return _loaded(self._data.talks.get(chat, "{}"))

    def set_talk(self, chat: str, talk: Json) -> None:
        """Keep what the conversation in this chat is about."""
        self._data.talks[chat] = json.dumps(dict(talk))

    def keep_line(self, token: str, line: str) -> None:
        """Keep the line a button stands for, replacing an earlier one of that token."""
        self._data.lines[token] = line

    def line(self, token: str) -> str | None:
        """The line kept under a token, or None."""
        return self._data.lines.get(token)

    def apparatus(self) -> dict[ApparatusId, Apparatus]:
        """Her own descriptions, in the order first described."""
        return {
            each: apparatus_from_table(_loaded(form)) for each, form in self._data.apparatus.items()
        }

    def describe(self, apparatus: Apparatus) -> None:
        """Keep her description, replacing an earlier one."""
        self._data.apparatus[apparatus.id] = json.dumps(apparatus_to_table(apparatus))

    def undescribe(self, apparatus_id: ApparatusId) -> None:
        """Forget her description and her readings of an apparatus."""
        self._data.apparatus.pop(apparatus_id, None)
        for key in [key for key in self._data.readings if key[0] == apparatus_id]:
            del self._data.readings[key]

    def readings(self, apparatus_id: ApparatusId) -> tuple[Reading, ...]:
        """What scales showed on an apparatus, by spring."""
        kept = sorted(self._data.readings.items())
        return tuple(reading for (on, _), reading in kept if on == apparatus_id)

    def keep_reading(self, apparatus_id: ApparatusId, reading: Reading) -> None:
        """Keep what a scale showed, replacing an earlier reading of that spring."""
        self._data.readings[apparatus_id, reading.token] = reading

    def exercises(self) -> list[dict[str, Any]]:
        """Tables of her own exercises, in the order added, retired ones left out."""
        return [_loaded(own.form) for own in self._data.shelf.exercises.values() if not own.retired]

    def keep_exercise(self, exercise_id: str, table: Json) -> None:
        """Keep an exercise of her own in use, at the place it had if it had one."""
        self._data.shelf.exercises[exercise_id] = OwnExercise(json.dumps(dict(table)))

    def retire_exercise(self, exercise_id: str) -> bool:
        """Whether there was such an exercise in use; it no longer is."""
        own = self._data.shelf.exercises.get(exercise_id)
        if own is None or own.retired:
            return False
        self._data.shelf.exercises[exercise_id] = replace(own, retired=True)
        return True

    def remarks(self, exercise_id: str) -> list[str]:
        """Her own cues and notes on an exercise, in the order written."""
        return [text for on, text in self._data.shelf.remarks if on == exercise_id]

    def add_remark(self, exercise_id: str, text: str) -> None:
        """Keep a cue or note on an exercise."""
        self._data.shelf.remarks.append((exercise_id, text))


def _plan(kept: KeptPlan, repertoire: Repertoire) -> SavedPlan:
    return SavedPlan(kept.number, plan_from_json(_loaded(kept.form), repertoire), kept.made_at)


def _loaded(form: str) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(form)
    return loaded

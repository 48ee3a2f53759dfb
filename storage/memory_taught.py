"""An instructor's taught classes, and what was learned from them, in memory."""

import json
from dataclasses import dataclass, field, replace
from typing import Any

from core.taught import TaughtClass
from storage.form import Json, group_key, utc
from storage.memory_drawers import KeptPlan
from storage.taught_form import taught_from_json, taught_to_json


@dataclass(slots=True)
class Logged:
    """What is kept; every value in it is immutable, only the containers change."""

    taught: dict[int, TaughtClass] = field(default_factory=dict)
    learned: dict[str, str] = field(default_factory=dict)


class MemoryTaught:
    """What was taught, inside one transaction."""

    def __init__(self, logged: Logged, plans: list[KeptPlan]) -> None:
        self._logged = logged
        self._plans = plans

    def keep_taught(self, taught: TaughtClass) -> None:
        """Keep a taught class, replacing what was kept of the same plan."""
        form = json.loads(json.dumps(taught_to_json(taught)))
        kept = taught_from_json(form, taught.plan, utc(taught.at), "")
        self._logged.taught[taught.plan] = kept

    def taught(self, limit: int | None = None, group: str | None = None) -> list[TaughtClass]:
        """Taught classes, newest first; of this group if one is given (folded names match)."""
        found = [self._whole(each) for each in self._logged.taught.values()]
        found.sort(key=lambda each: (each.at, each.plan), reverse=True)
        wanted = None if group is None else group_key(group)
        return [each for each in found if wanted in (None, group_key(each.group))][:limit]

    def taught_class(self, plan: int) -> TaughtClass | None:
        """What was taught by this plan, or None."""
        kept = self._logged.taught.get(plan)
        return self._whole(kept) if kept else None

    def untaught(self, plan: int) -> bool:
        """Whether there was such a taught class; it no longer is."""
        return self._logged.taught.pop(plan, None) is not None

    def learned(self, about: str) -> dict[str, Any]:
        """What was learned about something; empty when nothing was."""
        form: dict[str, Any] = json.loads(self._logged.learned.get(about, "{}"))
        return form

    def keep_learned(self, about: str, form: Json) -> None:
        """Keep what was learned about something, replacing what was."""
        self._logged.learned[about] = json.dumps(dict(form))

    def _whole(self, kept: TaughtClass) -> TaughtClass:
        """With the name its plan is for, which may have been taken away since."""
        return replace(kept, group=self._plans[kept.plan - 1].group)

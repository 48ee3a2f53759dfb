"""The drawers in memory: the twin of those in a database, with nothing to seal."""

import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from core.saved import KeptClass
from storage.drawers import NAMED, OF_CLIENTS, Drawer, Sheet, mentioned, mentions
from storage.errors import SealError
from storage.form import group_key
from storage.kept import Audit


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A plan as text, in its public form."""

    number: int
    group: str
    made_at: datetime
    form: str


@dataclass(slots=True)
class Filed:
    """What is filed; every value in it is immutable, only the containers change."""

    sheets: dict[Drawer, dict[int, Sheet]] = field(
        default_factory=lambda: {drawer: {} for drawer in Drawer}
    )
    audit: list[Audit] = field(default_factory=list)
    last: int = 0
    retention_days: int | None = None
    leases: dict[int, datetime] = field(default_factory=dict)

    def __deepcopy__(self, _: dict[int, Any]) -> "Filed":
        """The same values in containers of their own."""
        sheets = {drawer: dict(sheets) for drawer, sheets in self.sheets.items()}
        leases = dict(self.leases)
        return Filed(sheets, list(self.audit), self.last, self.retention_days, leases)


@dataclass(frozen=True, slots=True)
class OwnExercise:
    """An exercise of her own, as text."""

    form: str
    retired: bool = False


@dataclass(slots=True)
class Shelf:
    """What is hers of the library and kept under names; every value in it is immutable."""

    kept: dict[str, list[KeptClass]] = field(default_factory=dict)
    put_away: set[str] = field(default_factory=set)
    exercises: dict[str, OwnExercise] = field(default_factory=dict)
    remarks: list[tuple[str, str]] = field(default_factory=list)


class MemoryDrawers:
    """One instructor's drawers inside one transaction; made by her store only."""

    def __init__(
        self,
        filed: Filed,
        lines: dict[str, str],
        talks: dict[str, str],
        plans: list[KeptPlan],
        shelf: Shelf,
        forget_mail: Callable[[str], None],
    ) -> None:
        self._forget_mail = forget_mail
        self._filed = filed
        self._lines = lines
        self._talks = talks
        self._plans = plans
        self._shelf = shelf
        self.faults: list[SealError] = []

    def next_number(self) -> int:
        """A number that no sheet of hers ever had."""
        self._filed.last += 1
        return self._filed.last

    def put(self, drawer: Drawer, sheet: Sheet) -> None:
        """File a sheet, replacing the one of its number."""
        self._filed.sheets[drawer][sheet.number] = sheet
        if drawer is Drawer.REMINDER:
            self._filed.leases.pop(sheet.number, None)

    def get(self, drawer: Drawer, number: int) -> Sheet | None:
        """The sheet of this number, or None."""
        return self._filed.sheets[drawer].get(number)

    def some(self, drawer: Drawer, numbers: Iterable[int]) -> dict[int, Sheet]:
        """The sheets of these numbers that are there, by number."""
        sheets = self._filed.sheets[drawer]
        return {number: sheets[number] for number in numbers if number in sheets}

    def find(self, drawer: Drawer, name: str) -> Sheet | None:
        """The sheet of this name in a drawer of names, or None."""
        assert drawer in NAMED
        key = group_key(name)
        sheets = self._filed.sheets[drawer].values()
        return next((each for each in sheets if group_key(each.texts["name"]) == key), None)

    def sheets(
        self,
        drawer: Drawer,
        *,
        client: int | None = None,
        newest: bool = False,
        limit: int | None = None,
    ) -> Iterator[Sheet]:
        """The sheets in the order filed, or the newest first."""
        found = [
            sheet
            for _, sheet in sorted(self._filed.sheets[drawer].items())
            if client is None or sheet.client == client
        ]
        if newest:
            found.sort(key=lambda sheet: (sheet.made_at, sheet.number), reverse=True)
        yield from found[:limit]

    def numbers(self, drawer: Drawer) -> list[int]:
        """The numbers of all sheets, in the order filed."""
        return sorted(self._filed.sheets[drawer])

    def names(self, drawer: Drawer) -> dict[int, str]:
        """The names in a drawer of names, by number."""
        return {n: sheet.texts["name"] for n, sheet in sorted(self._filed.sheets[drawer].items())}

    def remove(self, drawer: Drawer, number: int) -> bool:
        """Whether there was such a sheet; with a client go all sheets about the client."""
        if drawer is Drawer.CLIENT:
            for each in OF_CLIENTS:
                self.remove_of(each, number)
        return self._filed.sheets[drawer].pop(number, None) is not None

    def remove_of(self, drawer: Drawer, client: int) -> int:
        """How many sheets about a client were there; they no longer are."""
        return self._keep(drawer, lambda sheet: sheet.client != client)

    def remove_before(self, drawer: Drawer, moment: datetime) -> int:
        """How many sheets were filed before this instant; they no longer are."""
        return self._keep(
            drawer, lambda sheet: sheet.made_at is not None and sheet.made_at >= moment
        )

    def trim(self, drawer: Drawer, most: int) -> None:
        """Leave only the newest sheets."""
        sheets = self._filed.sheets[drawer]
        for number in sorted(sheets)[: max(0, len(sheets) - most)]:
            del sheets[number]

    def lines(self) -> list[str]:
        """The lines that buttons stand for."""
        return list(self._lines.values())

    def plans_for(self, name: str) -> list[int]:
        """The numbers of the plans made for this name."""
        key = group_key(name)
        return [plan.number for plan in self._plans if group_key(plan.group) == key]

    def forget(self, name: str | None) -> dict[str, int]:
        """How many lines, conversations, plans and kept classes named her; they no longer do."""
        assert name is not None  # nothing here is unreadable
        self._forget_mail(name)
        lines = [token for token, line in self._lines.items() if mentions(line, name)]
        talks = [chat for chat, form in self._talks.items() if mentioned(json.loads(form), name)]
        plans = self.plans_for(name)
        for token in lines:
            del self._lines[token]
        for chat in talks:
            del self._talks[chat]
        for number in plans:
            plan = self._plans[number - 1]
            form = json.loads(plan.form)
            form["brief"]["group"] = ""
            self._plans[number - 1] = KeptPlan(number, "", plan.made_at, json.dumps(form))
        kept = self._shelf.kept.pop(group_key(name), ())
        return {
            "lines": len(lines),
            "talks": len(talks),
            "plans": len(plans),
            "kept": len(kept),
        }

    def named_elsewhere(self, name: str) -> int:
        """How many kept classes, remarks and exercises of her own have this name in them."""
        shelf = self._shelf
        texts: list[object] = [kept.name for versions in shelf.kept.values() for kept in versions]
        texts += [json.loads(own.form) for own in shelf.exercises.values()]
        texts += [text for _, text in shelf.remarks]
        return sum(mentioned(text, name) for text in texts)

    def retention(self) -> int | None:
        """For how many days notes are kept; None for ever."""
        return self._filed.retention_days

    def set_retention(self, days: int | None) -> None:
        """Keep notes for so many days."""
        self._filed.retention_days = days

    def add_audit(self, audit: Audit) -> None:
        """Write down that something was done."""
        self._filed.audit.append(audit)

    def audits(self) -> list[Audit]:
        """What was done, newest first."""
        return self._filed.audit[::-1]

    def _keep(self, drawer: Drawer, stays: Callable[[Sheet], bool]) -> int:
        sheets = self._filed.sheets[drawer]
        gone = [number for number, sheet in sheets.items() if not stays(sheet)]
        for number in gone:
            del sheets[number]
        return len(gone)

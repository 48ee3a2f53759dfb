"""TOML tables -> the cautions; the only place that knows the field names.

The files are `library/cautions-*.toml`. A `[[condition]]` says what people call it, whether it has
a side and whether its rules change with time; `details` are what its rules tell apart, and details
of one `group` exclude each other, so that none said means any of them. A `[[rule]]` takes hold of
an exercise by its demands, or by position, theme, primary muscle or effort; with none of these it
holds for the person. Weeks count from the due date (pregnancy) or the event: `from_week` and
`after_week` begin a window (the second strictly), `to_week` ends it before that week begins.
`source` names a `[[source]]`; `tag` says how good the ground is, `seen` how much of it was read.
"""

import tomllib
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any, Protocol, TypeVar

from core.caution_rule import Action, Cautions, Condition, Detail, Rule, Seen, Source, Tag, Timed
from core.client import Severity
from core.errors import LibraryError
from core.exercise import Demand, Muscle, Position, Theme
from core.repertoire import DATA

WEEK = 7  # days
RULE_FIELDS = frozenset(
    "id condition demand position theme muscle from_effort severity details from_week after_week "
    "to_week action says change answerable source tag seen differs".split()
)
CONDITION_FIELDS = frozenset(
    "id name kind aliases needs_side timed plain red_flags details".split()
)
KINDS = ("condition", "body part")

Table = Mapping[str, Any]


class _Known(Protocol):
    @property
    def id(self) -> str: ...


Record = TypeVar("Record", bound=_Known)


@lru_cache(maxsize=1)
def shipped_cautions() -> Cautions:
    """The cautions that ship with the project, read once.

    Raises:
        LibraryError: a record is wrong; the message names it.
    """
    tables = [
        tomllib.loads(entry.read_text(encoding="utf-8"))
        for entry in sorted(DATA.iterdir(), key=lambda entry: entry.name)
        if entry.name.startswith("cautions") and entry.name.endswith(".toml")
    ]
    return build_cautions(
        [source for table in tables for source in table.get("source", ())],
        [condition for table in tables for condition in table.get("condition", ())],
        [rule for table in tables for rule in table.get("rule", ())],
    )


def build_cautions(
    sources: Iterable[Table], conditions: Iterable[Table], rules: Iterable[Table]
) -> Cautions:
    """The cautions of these tables.

    Raises:
        LibraryError: a record is incomplete or contradicts another, or an id stands twice.
    """
    known = _by_id([source_from_table(table) for table in sources])
    return Cautions(
        sources=known,
        conditions=_by_id([condition_from_table(table) for table in conditions]),
        rules=_by_id([rule_from_table(table, known) for table in rules]),
    )


def source_from_table(table: Table) -> Source:
    """The source a table describes.

    Raises:
        LibraryError: a field is missing.
    """
    try:
        return Source(table["id"], table["cite"], table.get("year"), table.get("doi", ""))
    except KeyError as fault:
        raise LibraryError(f"source {table.get('id', '?')}: {fault} is missing") from fault


def condition_from_table(table: Table) -> Condition:
    """The condition a table describes.

    Raises:
        LibraryError: a field is missing, unknown or of the wrong kind.
    """
    where = f"condition {table.get('id', '?')}"
    _only(table, CONDITION_FIELDS, where)
    try:
        if table["kind"] not in KINDS:
            raise LibraryError(f"{where}: kind is one of {', '.join(KINDS)}")
        return Condition(
            id=table["id"],
            name=table["name"],
            kind=table["kind"],
            aliases=tuple(table["aliases"]),
            needs_side=table.get("needs_side", False),
            timed=Timed(table.get("timed", "none")),
            plain=table["plain"],
            red_flags=tuple(table.get("red_flags", ())),
            details=tuple(
                Detail(d["id"], tuple(d["words"]), d.get("group", ""))
                for d in table.get("details", ())
            ),
        )
    except (KeyError, ValueError) as fault:
        raise LibraryError(f"{where}: {fault}") from fault


def rule_from_table(table: Table, sources: Mapping[str, Source]) -> Rule:
    """The rule a table describes.

    Raises:
        LibraryError: a field is missing, unknown or contradicts another, or the source is unknown.
    """
    where = f"rule {table.get('id', '?')}"
    _only(table, RULE_FIELDS, where)
    try:
        return Rule(
            id=table["id"],
            condition=table["condition"],
            action=Action(table["action"]),
            says=table["says"],
            source=sources[table["source"]],
            tag=Tag(table["tag"]),
            seen=Seen(table["seen"]),
            demands=frozenset(map(Demand, table.get("demand", ()))),
            positions=frozenset(map(Position, table.get("position", ()))),
            themes=frozenset(map(Theme, table.get("theme", ()))),
            muscles=frozenset(map(Muscle, table.get("muscle", ()))),
            from_effort=table.get("from_effort", 0),
            severities=frozenset(map(Severity, table.get("severity", Severity))),
            details=frozenset(table.get("details", ())),
            first_day=_first_day(table),
            end_day=WEEK * table["to_week"] if "to_week" in table else None,
            change=table.get("change", ""),
            answerable=table.get("answerable", True),
            differs=table.get("differs", ""),
        )
    except (KeyError, ValueError) as fault:
        raise LibraryError(f"{where}: {fault} is missing or unknown") from fault


def _first_day(table: Table) -> int | None:
    if "after_week" in table:
        return WEEK * int(table["after_week"]) + 1
    return WEEK * int(table["from_week"]) if "from_week" in table else None


def _only(table: Table, fields: frozenset[str], where: str) -> None:
    if set(table) - fields:
        raise LibraryError(f"{where}: unknown field {', '.join(sorted(set(table) - fields))}")


def _by_id(records: Iterable[Record]) -> dict[str, Record]:
    found: dict[str, Record] = {}
    for record in records:
        if record.id in found:
            raise LibraryError(f"{record.id}: the id stands twice")
        found[record.id] = record
    return found

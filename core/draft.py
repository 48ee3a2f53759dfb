"""An instructor's own exercise while she describes it: one field after another, in her words.

A draft is the table of a library record. It may begin as a copy of an exercise it is like; until no
field is missing it takes part in nothing.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, TypeVar

from core.aims import aim, bar
from core.apparatus import ApparatusId
from core.errors import CoreError
from core.exercise import Demand, Direction, Exercise, Load, Muscle, Phase, Position, Theme
from core.fold import fold
from core.record import SHORT_NAME, exercise_from_table, exercise_to_table
from core.repertoire import Repertoire

Table = dict[str, Any]
Word = TypeVar("Word", bound=StrEnum)
NOTHING = ("nothing", "none", "no", "-")
OWN = "own-"  # every id of an own exercise begins with it, so none collides with a shipped one


class DraftError(CoreError):
    """A field can't be filled like that; the message says what it takes."""


@dataclass(frozen=True, slots=True)
class Field:
    """One thing to say about an exercise.

    Attributes:
        name: what she calls it when she changes it.
        keys: the keys of the table that it fills.
        choices: what can be pressed.
        put: fills the table from her words, or raises DraftError.
    """

    name: str
    keys: tuple[str, ...]
    choices: tuple[str, ...]
    put: Callable[[Table, str, Repertoire], None]


def begin(name: str, like: Exercise | None = None) -> Table:
    """A new draft of that name, everything else taken from `like` if there is one.

    Raises:
        DraftError: the name is empty or too long.
    """
    plain = " ".join(name.split())
    if not fold(plain) or len(plain) > 40:
        raise DraftError("a name has 1 to 40 characters")
    table: Table = {}
    if like:
        table = exercise_to_table(like)
        table |= {"aliases": [], "no_harder": "your own exercise"}
        table["no_easier"] = "your own exercise"
        table.pop("harder", None)
        table.pop("series", None)
        table["easier"] = like.id
    table["name"] = plain
    table["short"] = plain[:SHORT_NAME].rstrip()
    table["id"] = OWN + fold(plain).replace(" ", "-")
    return table


def missing(table: Mapping[str, Any], repertoire: Repertoire) -> tuple[Field, ...]:
    """The fields still to be filled, in the order they are asked."""
    found = [field for field in FIELDS if any(key not in table for key in field.keys)]
    on = repertoire.apparatus.get(ApparatusId(str(table.get("apparatus", ""))))
    sprung = on is not None and bool(on.springs)
    return tuple(f for f in found if sprung or f.name not in SPRUNG)


def finished(table: Mapping[str, Any], repertoire: Repertoire) -> Exercise:
    """The exercise a complete draft describes.

    Raises:
        DraftError: something is missing or contradicts itself.
    """
    gaps = missing(table, repertoire)
    if gaps:
        raise DraftError("still to say: " + ", ".join(gap.name for gap in gaps))
    whole = {**DEFAULTS, **table}
    if "load" not in whole:
        whole["load"] = Load.BODY_WEIGHT.value
    try:
        return exercise_from_table(whole, repertoire.apparatus)
    except CoreError as fault:
        raise DraftError(str(fault)) from fault


def fill_in(table: Table, repertoire: Repertoire) -> Table:
    """The table a complete draft is kept as; an incomplete one stays as it is."""
    try:
        return exercise_to_table(finished(table, repertoire))
    except DraftError:
        return table


def field_named(word: str) -> Field | None:
    """The field she calls that, or None."""
    folded = fold(word)
    return next((f for f in FIELDS if f.name == folded or folded in ALSO.get(f.name, ())), None)


DEFAULTS: dict[str, Any] = {
    "aliases": [],
    "setup_s": 15,
    "rig": {},
    "props": [],
    "safety": [],
    "modifications": [],
    "needs": [],
    "cues": [],
    "fault": "",
    "breath": "",
    "no_easier": "your own exercise",
    "no_harder": "your own exercise",
}


def _put_apparatus(table: Table, text: str, repertoire: Repertoire) -> None:
    for each in repertoire.apparatus.values():
        if fold(text) in {fold(w) for w in (each.id, each.name, *each.aliases)}:
            table["apparatus"] = each.id
            return
    known = ", ".join(each.name for each in repertoire.apparatus.values())
    raise DraftError(f"the apparatus is one of {known}")


def _put_level(table: Table, text: str, _: Repertoire) -> None:
    found = re.fullmatch(r"(?:level )?([123])", fold(text))
    if not found:
        raise DraftError("the level is 1, 2 or 3")
    level = int(found[1])
    table["level"] = level
    table.setdefault("effort", 3 + level)


def _put_phases(table: Table, text: str, _: Repertoire) -> None:
    phases = _several(Phase, text, "the phase is warm-up, foundation, peak or cool-down")
    table["phases"] = phases
    if Phase.WARM_UP.value in phases or Phase.COOL_DOWN.value in phases:
        table["effort"] = min(int(table.get("effort", 3)), 4)


def _put_effort(table: Table, text: str, _: Repertoire) -> None:
    if not re.fullmatch(r"\d{1,2}", text.strip()) or not 1 <= int(text) <= 10:
        raise DraftError("effort is a number from 1, breathing, to 10, the hardest you teach")
    table["effort"] = int(text)


def _put_position(table: Table, text: str, _: Repertoire) -> None:
    table["position"] = _one(Position, text, "the position")


def _put_works(table: Table, text: str, _: Repertoire) -> None:
    themes: list[str] = []
    directions: list[str] = []
    for word in _parts(text):
        direction = next((d for d in Direction if fold(d) == word), None)
        theme = next((t for t in Theme if fold(t) == word), None)
        meaning = aim(word)
        if direction:
            directions.append(direction.value)
        elif theme:
            themes.append(theme.value)
        elif meaning:
            themes += sorted(meaning.themes)[:1]
            directions += sorted(meaning.directions)
        else:
            raise DraftError(
                f"{word!r} is nothing an exercise works on; say it like rotation, push"
            )
    if not themes:
        themes = [Theme.SPINE_MOBILITY.value] if directions else []
    if not themes:
        raise DraftError("say at least one thing it works on, like abdominals or hip extension")
    table["themes"] = list(dict.fromkeys(themes))[:3]
    table["directions"] = list(dict.fromkeys(directions))


def _put_muscle(table: Table, text: str, _: Repertoire) -> None:
    muscles = _several(Muscle, text, "the muscle is one of " + ", ".join(Muscle))
    table["muscles"] = {"primary": muscles[0], "also": muscles[1:]}


def _put_load(table: Table, text: str, _: Repertoire) -> None:
    kinds = [load.value for load in Load if load is not Load.BODY_WEIGHT]
    if fold(text) not in kinds:
        raise DraftError(f"the spring may {', '.join(kinds)}")
    table["load"] = fold(text)


def _put_springs(table: Table, text: str, repertoire: Repertoire) -> None:
    on = repertoire.apparatus[ApparatusId(table["apparatus"])]
    parts = [part.strip() for part in re.split(r"[,;/]", text) if part.strip()]
    if len(parts) not in (3, 4):
        raise DraftError("give usual, easier and harder with commas, like 3+2, 3, 4+3")
    settings = [str(on.parse(part)) for part in parts]
    usual, easier, harder = settings[:3]
    limit = settings[3] if len(settings) == 4 else harder
    ranks = [on.rank(on.parse(s)) for s in (easier, usual, harder, limit)]
    load = table.get("load")
    if load == Load.RESIST.value and not ranks[0] < ranks[1] < ranks[2] <= ranks[3]:
        raise DraftError("where the spring resists, easier is lighter and harder is heavier")
    if load == Load.ASSIST.value and not ranks[0] > ranks[1] > ranks[2] >= ranks[3]:
        raise DraftError("where the spring carries, easier is heavier and harder is lighter")
    table["springs"] = {"usual": usual, "easier": easier, "harder": harder, "limit": limit}


def _put_reps(table: Table, text: str, _: Repertoire) -> None:
    found = re.fullmatch(r"(\d{1,2})\s*(?:-|–|to)\s*(\d{1,2})(?:\s*,?\s*usually (\d{1,2}))?", text)
    if not found:
        raise DraftError("repetitions are a range like 6-10")
    low, high = int(found[1]), int(found[2])
    usual = int(found[3]) if found[3] else (low + high) // 2
    if not 1 <= low <= usual <= high <= 60:
        raise DraftError("repetitions run from a smaller to a larger number, 60 at most")
    table["reps"] = {"from": low, "to": high, "usual": usual}


def _put_tempo(table: Table, text: str, _: Repertoire) -> None:
    found = re.fullmatch(r"(\d{1,2}(?:\.\d)?)\s*(s|sec|seconds?|breaths?)", text.strip().casefold())
    if not found or not 0.5 <= float(found[1]) <= 60:
        raise DraftError("one repetition takes so many seconds or breaths, like 5 s or 2 breaths")
    kind = "breaths" if found[2].startswith("breath") else "seconds"
    table["tempo"] = {kind: float(found[1])}


def _put_sides(table: Table, text: str, _: Repertoire) -> None:
    if text.strip() not in ("1", "2"):
        raise DraftError("sides are 1, or 2 where right and left follow each other")
    table["sides"] = int(text)


def _put_asks(table: Table, text: str, _: Repertoire) -> None:
    if fold(text) in NOTHING:
        table["demands"] = []
        return
    demands: list[str] = []
    for word in _parts(text):
        exact = next((d for d in Demand if fold(d) == word), None)
        meaning = bar(word)
        if exact:
            demands.append(exact.value)
        elif meaning and meaning.demands:
            demands += sorted(meaning.demands)
        else:
            raise DraftError(f"{word!r} is no demand; say it like wrists, kneeling, or nothing")
    table["demands"] = list(dict.fromkeys(demands))


def _put_family(table: Table, text: str, _: Repertoire) -> None:
    table["family"] = fold(text)


def _one(kind: type[Word], text: str, what: str) -> str:
    word = next((w for w in kind if fold(w) == fold(text)), None)
    if word is None:
        raise DraftError(f"{what} is one of " + ", ".join(kind))
    return word.value


def _several(kind: type[Word], text: str, fault: str) -> list[str]:
    found = [next((w.value for w in kind if fold(w) == part), None) for part in _parts(text)]
    if not found or None in found:
        raise DraftError(fault)
    return list(dict.fromkeys(word for word in found if word))


def _parts(text: str) -> list[str]:
    return [fold(part) for part in re.split(r",|;|\band\b|\+", text) if fold(part)]


SPRUNG = ("load", "springs")
ALSO = {"tempo": ("seconds", "breaths", "time"), "asks": ("demands",), "works": ("themes", "for")}
FIELDS: tuple[Field, ...] = (
    Field("apparatus", ("apparatus",), ("chair", "mat", "reformer", "tower"), _put_apparatus),
    Field("level", ("level",), ("1", "2", "3"), _put_level),
    Field("phase", ("phases",), ("warm-up", "foundation, peak", "peak", "cool-down"), _put_phases),
    Field(
        "position",
        ("position",),
        ("supine", "prone", "kneeling", "seated on the apparatus", "standing"),
        _put_position,
    ),
    Field("works", ("themes",), ("abdominals", "hip extension", "rotation", "push"), _put_works),
    Field("muscle", ("muscles",), ("abdominals", "glutes", "obliques", "triceps"), _put_muscle),
    Field("load", ("load",), ("resist", "assist", "stabilise"), _put_load),
    Field("springs", ("springs",), (), _put_springs),
    Field("reps", ("reps",), ("3-6", "5-8", "8-10"), _put_reps),
    Field("tempo", ("tempo",), ("4 s", "1 breath", "2 breaths"), _put_tempo),
    Field("sides", ("sides",), ("1", "2"), _put_sides),
    Field("asks", ("demands",), ("nothing", "wrists", "kneeling"), _put_asks),
    Field("family", ("family",), (), _put_family),
    Field("effort", ("effort",), ("3", "5", "7"), _put_effort),
)

"""The library check: findings about records that a plan could not rely on.

Run `python -m core.check` after editing a file of the library; it names each record and the fault.
Every rule is a function repertoire -> findings, so a test can break one record and see it named.
"""

import re
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from core.errors import LibraryError
from core.exercise import Demand, Direction, Exercise, Level, Load, Phase
from core.fold import fold
from core.repertoire import Repertoire, shipped
from core.timing import Clock, duration_s

CUE_WORDS = 10  # a cue read at arm's length (house choice)
GENTLE = 4  # the most effort of warm-up and cool-down work
# The shipped records must let a class of 25-60 minutes on one apparatus breathe at both ends.
ENOUGH = {Phase.WARM_UP: 3, Phase.FOUNDATION: 5, Phase.PEAK: 5, Phase.COOL_DOWN: 3}
CLASS_APPARATUS = ("chair", "mat", "reformer", "tower")


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with one record, by the name of the rule."""

    rule: str
    record: str
    text: str

    def __str__(self) -> str:
        return f"{self.record}: {self.text} [{self.rule}]"


Rule = Callable[[Repertoire], Iterator[Fault]]


def faults(repertoire: Repertoire) -> list[Fault]:
    """Every fault every rule finds, in the order of the rules."""
    return [fault for rule in RULES for fault in rule(repertoire)]


def ids_resolve(repertoire: Repertoire) -> Iterator[Fault]:
    """Ladders, preparations and safety acts name things that exist."""
    known = repertoire.exercises
    for e in known.values():
        if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", e.id):
            yield Fault("ids", e.id, "an id is small letters, digits and single dashes")
        if not e.id.startswith(e.apparatus + "-"):
            yield Fault("ids", e.id, f"an id begins with its apparatus, {e.apparatus}-")
        for field, target in (("easier", e.easier), ("harder", e.harder)):
            if target and target not in known:
                yield Fault("ids", e.id, f"{field} names {target}, which is no exercise")
        for need in e.needs:
            if need not in known and need not in repertoire.families:
                yield Fault("ids", e.id, f"needs {need}, which is no exercise or family")
        for act in e.safety:
            if act not in repertoire.acts:
                yield Fault("ids", e.id, f"safety act {act} is not in safety.toml")


def ladders_rise(repertoire: Repertoire) -> Iterator[Fault]:
    """A ladder rises by at most one level a step and never loops."""
    for e in repertoire.exercises.values():
        for low, high, field in ((e.easier, e.id, "easier"), (e.id, e.harder, "harder")):
            if low in repertoire.exercises and high in repertoire.exercises:
                step = repertoire.exercises[high].level - repertoire.exercises[low].level  # type: ignore[index] # both are in the mapping
                if step not in (0, 1):
                    yield Fault("ladder", e.id, f"{field} steps by {step} levels, from {low}")
        seen, at = {e.id}, e.harder
        while at and at in repertoire.exercises and at not in seen:
            seen.add(at)
            at = repertoire.exercises[at].harder
        if at == e.id:
            yield Fault("ladder", e.id, "the ladder upwards comes back to itself")
        if e.easier and e.easier == e.harder:
            yield Fault("ladder", e.id, "easier and harder are the same exercise")


def options_given(repertoire: Repertoire) -> Iterator[Fault]:
    """Above level 1 there is an easier option, below level 3 a harder one, or why not."""
    for e in repertoire.exercises.values():
        if e.level > Level.FUNDAMENTAL and not (e.easier or e.no_easier):
            yield Fault("options", e.id, "no easier option and no reason why not")
        if e.level < Level.ADVANCED and not (e.harder or e.no_harder):
            yield Fault("options", e.id, "no harder option and no reason why not")
        up = repertoire.exercises.get(e.harder) if e.harder else None
        if up and not up.easier:
            yield Fault("options", up.id, f"is the harder option of {e.id} but has no easier one")


def load_agrees(repertoire: Repertoire) -> Iterator[Fault]:
    """Easier and harder springs go the way of the load, and none passes the limit."""
    for e in repertoire.exercises.values():
        if not e.springs:
            continue
        rank = repertoire.apparatus[e.apparatus].rank
        easier, usual, harder, limit = (
            rank(s) for s in (e.springs.easier, e.springs.usual, e.springs.harder, e.springs.limit)
        )
        if e.load is Load.RESIST and not easier < usual < harder <= limit:
            yield Fault("load", e.id, "resist wants easier < usual < harder <= limit")
        if e.load is Load.ASSIST and not easier > usual > harder >= limit:
            yield Fault("load", e.id, "assist wants easier > usual > harder >= limit (lightest)")
        if e.load is Load.STABILISE and max(easier, usual, harder) > limit:
            yield Fault("load", e.id, "a setting is heavier than the limit")


def demands_answered(repertoire: Repertoire) -> Iterator[Fault]:
    """Each demand is removed by a modification, or another exercise keeps the aim without it."""
    for e in repertoire.exercises.values():
        removed = frozenset[Demand]().union(*(m.removes for m in e.modifications))
        for demand in sorted(e.demands - removed):
            if not any(keeps_aim(e, other, demand) for other in repertoire.exercises.values()):
                yield Fault("demands", e.id, f"nothing removes {demand!r} and no swap lacks it")
        for m in e.modifications:
            if not m.removes:
                yield Fault("demands", e.id, f"the modification {m.do!r} removes nothing")
            if m.removes & m.adds:
                yield Fault("demands", e.id, f"{m.do!r} removes and adds the same demand")
            if m.removes - e.demands:
                odd = ", ".join(sorted(m.removes - e.demands))
                yield Fault("demands", e.id, f"{m.do!r} removes what it does not ask: {odd}")


def keeps_aim(e: Exercise, other: Exercise, without: Demand) -> bool:
    """Whether `other` could stand in for `e` for somebody who must avoid `without`."""
    return (
        other.id != e.id
        and without not in other.demands
        and other.level <= e.level
        and bool(other.phases & e.phases)
        and (e.themes[0] in other.themes or other.primary is e.primary)
    )


def words_fit(repertoire: Repertoire) -> Iterator[Fault]:
    """Cues are two or three, short and whole; breath and fault are given; efforts suit phases."""
    for e in repertoire.exercises.values():
        if not 2 <= len(e.cues) <= 3:
            yield Fault("words", e.id, f"{len(e.cues)} cues: want two or three")
        for text in (*e.cues, e.fault):
            if not 1 <= len(text.split()) <= CUE_WORDS:
                yield Fault("words", e.id, f"{text!r} is not 1-{CUE_WORDS} words")
            if not text.endswith("."):
                yield Fault("words", e.id, f"{text!r} does not end with a full stop")
        if not e.breath.endswith("."):
            yield Fault("words", e.id, "breath is no sentence")
        if not 1 <= len(e.themes) <= 3:
            yield Fault("words", e.id, f"{len(e.themes)} themes: want one to three")
        ends = e.phases & {Phase.WARM_UP, Phase.COOL_DOWN}
        if ends and e.effort > GENTLE:
            yield Fault("words", e.id, f"effort {e.effort} is too much for {min(ends)}")
        if e.primary in e.also:
            yield Fault("words", e.id, "the primary muscle stands among the others too")


def names_unique(repertoire: Repertoire) -> Iterator[Fault]:
    """Names and aliases are unique after folding; a short name is so on its apparatus."""
    owner: dict[str, str] = {}
    shorts: dict[tuple[str, str], str] = {}
    for e in repertoire.exercises.values():
        for key in {fold(name) for name in (e.name, *e.aliases)}:
            if key in owner:
                yield Fault("names", e.id, f"{key!r} is also {owner[key]}")
            owner.setdefault(key, e.id)
        place = (e.apparatus, fold(e.short))
        if place in shorts:
            yield Fault("names", e.id, f"the short name {e.short!r} is also {shorts[place]}")
        shorts.setdefault(place, e.id)


def series_ordered(repertoire: Repertoire) -> Iterator[Fault]:
    """A series has two members or more, on one apparatus, each with a place of its own."""
    members: dict[str, list[Exercise]] = {}
    for e in repertoire.exercises.values():
        if e.series:
            members.setdefault(e.series.name, []).append(e)
    for name, all_of in members.items():
        places = [e.series.place for e in all_of if e.series]
        if len(all_of) == 1:
            yield Fault("series", all_of[0].id, f"the series {name!r} has one member")
        if len(set(places)) < len(places):
            yield Fault("series", all_of[0].id, f"two of {name!r} have the same place")
        if len({e.sides for e in all_of}) > 1:
            yield Fault("series", all_of[0].id, f"{name!r} mixes one-sided and two-sided work")
        if len({e.apparatus for e in all_of}) > 1:
            yield Fault("series", all_of[0].id, f"the series {name!r} changes apparatus")
        if not frozenset[Phase].intersection(*(e.phases for e in all_of)):
            yield Fault("series", all_of[0].id, f"the series {name!r} has no phase in common")


def needs_can_be_met(repertoire: Repertoire) -> Iterator[Fault]:
    """A preparation can really come earlier in a class that has the exercise."""
    order = list(Phase)
    for e in repertoire.exercises.values():
        latest = max(order.index(phase) for phase in e.phases)
        for need in e.needs:
            givers = [
                g
                for g in repertoire.exercises.values()
                if need in (g.id, g.family)
                and g.id != e.id
                and g.apparatus == e.apparatus
                and g.level <= e.level
                and min(order.index(phase) for phase in g.phases) <= latest
                and (g.family != e.family or _earlier_in_series(g, e))
            ]
            if not givers:
                yield Fault("needs", e.id, f"nothing called {need} can come before it")


def _earlier_in_series(g: Exercise, e: Exercise) -> bool:
    return bool(
        g.series and e.series and g.series.name == e.series.name and g.series.place < e.series.place
    )


def families_alike(repertoire: Repertoire) -> Iterator[Fault]:
    """No two families differ only by a plural or the order of their words."""
    spelled: dict[tuple[str, ...], str] = {}
    for family in repertoire.families:
        key = tuple(sorted(word.rstrip("s") for word in fold(family).split()))
        if key in spelled:
            yield Fault("families", family, f"is spelled {spelled[key]!r} elsewhere")
        spelled.setdefault(key, family)


def times_are_sane(repertoire: Repertoire) -> Iterator[Fault]:
    """The usual repetitions last from a quarter of a minute to two and a half."""
    for e in repertoire.exercises.values():
        work = duration_s(e, e.reps.usual, 1, Clock(1.0, 1.0))
        if not 15 <= work <= 150:
            yield Fault("times", e.id, f"the usual repetitions last {work} s: want 15-150")


def enough_to_build(repertoire: Repertoire) -> Iterator[Fault]:
    """Every class apparatus has enough for each phase at level 1, and all four directions."""
    for name in CLASS_APPARATUS:
        pool = [e for e in repertoire.exercises.values() if e.apparatus == name]
        if not pool:
            yield Fault("enough", name, "no exercise at all")
            continue
        for phase, least in ENOUGH.items():
            have = sum(1 for e in pool if phase in e.phases and e.level == Level.FUNDAMENTAL)
            if have < least:
                yield Fault("enough", name, f"{have} level-1 exercises for {phase}: want {least}")
        for direction in Direction:
            if not any(direction in e.directions and e.level <= Level.INTERMEDIATE for e in pool):
                yield Fault("enough", name, f"nothing below level 3 moves in {direction}")


RULES: tuple[Rule, ...] = (
    ids_resolve,
    ladders_rise,
    options_given,
    load_agrees,
    demands_answered,
    words_fit,
    names_unique,
    series_ordered,
    needs_can_be_met,
    families_alike,
    times_are_sane,
    enough_to_build,
)


def main() -> int:
    """Print every fault of the shipped library; 0 when there is none."""
    try:
        found = faults(shipped())
    except LibraryError as fault:
        sys.stdout.write(f"{fault}\n")
        return 1
    sys.stdout.writelines(f"{fault}\n" for fault in found)
    repertoire = shipped()
    counts = ", ".join(f"{k} {len(v)}" for k, v in repertoire.by_apparatus.items())
    sys.stdout.write(f"{len(repertoire.exercises)} exercises ({counts}): {len(found)} faults\n")
    return 1 if found else 0


if __name__ == "__main__":
    raise SystemExit(main())

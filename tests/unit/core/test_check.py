"""The library check bites: one record of the shipped tables broken, and the rule names it."""

import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from copy import deepcopy
from functools import lru_cache
from typing import Any

import pytest

from core import check
from core.check import Fault, Rule
from core.errors import LibraryError
from core.record import apparatus_from_table
from core.repertoire import DATA, Repertoire, build, shipped

Tables = dict[str, dict[str, Any]]
Break = Callable[[Tables], str]
LEAST = {"chair": 75, "mat": 60, "reformer": 75, "tower": 30, "barrel": 15}
LEAST_OF_ALL = 260


@lru_cache(maxsize=1)
def tables() -> Tables:
    """Every exercise table of the library's files, by id."""
    files = (f for f in DATA.iterdir() if f.name.endswith(".toml"))
    read = (tomllib.loads(f.read_text(encoding="utf-8")) for f in files)
    return {table["id"]: table for each in read for table in each.get("exercise", ())}


def built(records: Tables) -> Repertoire:
    """The repertoire of these records, with the shipped apparatus and safety acts."""
    text = (DATA / "apparatus.toml").read_text(encoding="utf-8")
    apparatus = [apparatus_from_table(t) for t in tomllib.loads(text)["apparatus"]]
    return build(records.values(), apparatus, shipped().acts)


def found(rule: Rule, change: Break) -> tuple[str, list[Fault]]:
    """The record a change broke, and what the rule then finds."""
    copies = deepcopy(tables())
    broken = change(copies)
    return broken, list(rule(built(copies)))


def sprung(load: str) -> str:
    """An exercise with this direction of load."""
    return next(name for name, t in tables().items() if t["load"] == load)


def put(exercise_id: str, **fields: Any) -> Break:  # noqa: ANN401 - whatever TOML holds
    """A change that gives one record these fields; None takes a field away."""

    def change(records: Tables) -> str:
        for field, value in fields.items():
            records[exercise_id].pop(field, None)
            if value is not None:
                records[exercise_id][field] = value
        return exercise_id

    return change


def renamed(records: Tables) -> str:
    """An id that does not begin with its apparatus."""
    records["mat-saw"]["id"] = "saw"
    return "saw"


def looped(records: Tables) -> str:
    """A ladder that comes back to itself."""
    low, high = records["mat-plank-knees"], records["mat-plank"]
    low.update(harder="mat-plank", level=2, easier="mat-plank")
    high.update(harder="mat-plank-knees", level=2, easier="mat-plank-knees")
    return "mat-plank"


def heavier(load: str) -> Break:
    """A setting that is easier than the usual one and harder at once: both are the usual one."""
    name = sprung(load)
    usual = tables()[name]["springs"]["usual"]
    return put(name, springs=dict.fromkeys(("usual", "easier", "harder", "limit"), usual))


def over_the_limit(records: Tables) -> str:
    """A setting for feedback that is heavier than its limit."""
    name = next(
        key for key, t in records.items() if t["load"] == "stabilise" and t["apparatus"] == "chair"
    )
    records[name]["springs"] = {"usual": "4+4", "easier": "1", "harder": "1", "limit": "2"}
    return name


def unanswered(records: Tables) -> str:
    """A demand of every exercise that no modification removes."""
    for table in records.values():
        table["demands"] = [*table.get("demands", ()), "jumping"]
        table["demands"] = list(dict.fromkeys(table["demands"]))
        for m in table.get("modifications", ()):
            m["removes"] = [d for d in m["removes"] if d != "jumping"]
    return "mat-saw"


def modified(**fields: Any) -> Break:  # noqa: ANN401 - as above
    """A record with one modification of these fields."""
    m = {"do": "Sit on a block", "removes": ["grip"], "adds": []} | fields
    return put("mat-saw", demands=["grip"], modifications=[m])


def alone_in_its_series(records: Tables) -> str:
    """A series of one."""
    records["mat-saw"]["series"] = {"name": "alone", "place": 1}
    return "mat-saw"


def paired(**second: Any) -> Break:  # noqa: ANN401 - as above
    """Two records in a series of their own, the second with these fields."""

    def change(records: Tables) -> str:
        for place, name in enumerate(("mat-saw", "mat-seal"), 1):
            records[name].update(
                series={"name": "test", "place": place}, sides=1, phases=["foundation"]
            )
        records["mat-seal"].update(second)
        return "mat-saw"

    return change


def respelled(records: Tables) -> str:
    """A family that differs from another by its plural."""
    records["mat-saw"]["family"] = records["mat-seal"]["family"] + "s"
    return str(records["mat-seal"]["family"])


def emptied(apparatus: str) -> Break:
    """An apparatus without exercises."""

    def change(records: Tables) -> str:
        for name in [n for n, t in records.items() if t["apparatus"] == apparatus]:
            del records[name]
        return apparatus

    return change


def only(apparatus: str, **fields: Any) -> Break:  # noqa: ANN401 - as above
    """Every exercise of an apparatus with the same fields."""

    def change(records: Tables) -> str:
        for table in records.values():
            if table["apparatus"] == apparatus:
                table.update(fields)
        return apparatus

    return change


BREAKS: list[tuple[Rule, Break]] = [
    (check.ids_resolve, renamed),
    (check.ids_resolve, put("mat-saw", easier="mat-nothing")),
    (check.ids_resolve, put("mat-saw", harder="mat-nothing", no_harder=None)),
    (check.ids_resolve, put("mat-saw", needs=["nothing of the kind"])),
    (check.ids_resolve, put("mat-saw", safety=["no such act"])),
    (check.ladders_rise, looped),
    (check.ladders_rise, put("mat-saw", easier="mat-seal", harder="mat-seal", no_harder=None)),
    (check.ladders_rise, put("mat-saw", level=1, harder="mat-control-balance", no_harder=None)),
    (check.options_given, put("mat-saw", level=2, easier=None, no_easier=None)),
    (check.options_given, put("mat-saw", level=2, harder=None, no_harder=None)),
    (check.load_agrees, heavier("resist")),
    (check.load_agrees, heavier("assist")),
    (check.load_agrees, over_the_limit),
    (check.demands_answered, unanswered),
    (check.demands_answered, modified(removes=[])),
    (check.demands_answered, modified(adds=["grip"])),
    (check.demands_answered, modified(removes=["grip", "jumping"])),
    (check.words_fit, put("mat-saw", cues=["One cue."])),
    (check.words_fit, put("mat-saw", cues=["A cue without an end", "Another one."])),
    (check.words_fit, put("mat-saw", cues=["One two three four five six seven eight.", " ".join("x" * 11) + "."])),  # noqa: E501
    (check.words_fit, put("mat-saw", fault="")),
    (check.words_fit, put("mat-saw", breath="out")),
    (check.words_fit, put("mat-saw", themes=["stretch", "push", "pull", "balance"])),
    (check.words_fit, put("mat-saw", phases=["cool-down"], effort=5)),
    (check.words_fit, put("mat-saw", muscles={"primary": "neck", "also": ["neck"]})),
    (check.names_unique, put("mat-seal", aliases=["THE saw!"])),
    (check.names_unique, put("mat-seal", short="Saw")),
    (check.series_ordered, alone_in_its_series),
    (check.series_ordered, paired(series={"name": "test", "place": 1})),
    (check.series_ordered, paired(sides=2)),
    (check.series_ordered, paired(phases=["cool-down"])),
    (check.needs_can_be_met, put("mat-pelvic-tilt", needs=["mat-control-balance"])),
    (check.families_alike, respelled),
    (check.times_are_sane, put("mat-saw", tempo={"seconds": 0.2})),
    (check.times_are_sane, put("mat-saw", tempo={"seconds": 59})),
    (check.enough_to_build, emptied("tower")),
    (check.enough_to_build, only("tower", level=2)),
    (check.enough_to_build, only("chair", directions=["flexion"])),
]  # fmt: skip


def test_the_shipped_library_has_no_fault() -> None:
    assert [str(fault) for fault in check.faults(shipped())] == []


@pytest.mark.parametrize(("rule", "change"), BREAKS)
def test_a_broken_record_is_named_by_its_rule(rule: Rule, change: Break) -> None:
    broken, faults = found(rule, change)
    assert broken in {fault.record for fault in faults}
    assert len({fault.rule for fault in faults}) == 1


def test_no_rule_is_left_untested() -> None:
    assert {rule for rule, _ in BREAKS} == set(check.RULES)


def test_a_fault_says_which_record_and_what_is_wrong() -> None:
    _, faults = found(check.ids_resolve, put("mat-saw", safety=["no such act"]))
    assert str(faults[0]) == "mat-saw: safety act no such act is not in safety.toml [ids]"


def test_an_id_that_stands_twice_is_refused() -> None:
    twice = [*tables().values(), tables()["mat-saw"]]
    with pytest.raises(LibraryError, match="mat-saw: the id stands twice"):
        build(twice, shipped().apparatus.values(), shipped().acts)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (put("mat-saw", colour="red"), "mat-saw: unknown field colour"),
        (put("mat-saw", reps=None), "mat-saw: field 'reps' is missing"),
        (put("mat-saw", level=4), "mat-saw: level 4 is not 1, 2 or 3"),
        (put("mat-saw", position="upright"), "mat-saw: 'upright' is no position: supine"),
        (put("chair-pike", rig={"pedal": "up"}), "chair-pike: rig pedal = 'up' is no state"),
        (put("mat-saw", name="A name of many words", short=None), "longer than 16: give a"),
    ],
)
def test_a_record_that_cannot_be_read_is_refused(change: Break, sentence: str) -> None:
    copies = deepcopy(tables())
    change(copies)
    with pytest.raises(LibraryError) as refusal:
        built(copies)
    assert sentence in str(refusal.value)


def test_the_library_is_as_large_as_promised() -> None:
    counts = Counter(table["apparatus"] for table in tables().values())
    for apparatus, least in LEAST.items():
        assert counts[apparatus] >= least, apparatus
    assert counts.total() >= LEAST_OF_ALL
    assert set(tables()) == set(shipped().exercises)


def lines() -> Iterator[str]:
    """Every name and alias."""
    for table in tables().values():
        yield from (table["name"], *table.get("aliases", ()))


def test_names_are_words_a_phone_can_show() -> None:
    assert all(line.strip() == line and line.isprintable() for line in lines())

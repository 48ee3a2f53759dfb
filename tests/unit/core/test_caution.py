"""Verdicts: the rule tests of the evidence, each with its row, and several flags together."""

from datetime import date, timedelta
from typing import Any

import pytest

from core.caution import Kind, Minded, advice, minded, verdict, verdicts
from core.caution_record import shipped_cautions
from core.client import Client, ClientId, Flag, Severity
from core.exercise import Demand, Direction, Exercise, Position
from core.repertoire import Repertoire, shipped
from tests.builders import record, repertoire

CAUTIONS = shipped_cautions()
LIBRARY = shipped()
TODAY = date(2027, 3, 1)
GP: dict[str, Any] = {"answered": TODAY, "answered_by": "gp"}
MILD, MARKED, ACUTE = Severity
D = Demand


def weeks(n: float) -> date:
    """The due date of somebody so many weeks pregnant today."""
    return TODAY + timedelta(days=280 - round(7 * n))


def ago(n: float) -> date:
    """The day so many weeks before today."""
    return TODAY - timedelta(days=round(7 * n))


def person(*flags: Flag) -> Client:
    """A client with these flags."""
    return Client(ClientId(1), "ANA", flags=flags)


def mind(*flags: Flag) -> Minded:
    """What is minded about somebody with these flags today."""
    return minded(flags, TODAY, CAUTIONS)


def wanted(flag: Flag, demand: Demand) -> str:
    """The strictest thing wanted for a demand, "nothing" when it is not minded."""
    m = mind(flag)
    for name, demands in (("avoid", m.avoid), ("ask first", m.ask), ("modify", m.modify)):
        if demand in demands:
            return name
    return "nothing"


def kind(exercise: str, *flags: Flag) -> Kind:
    """The kind of verdict on an exercise of the library."""
    return verdict(person(*flags), LIBRARY[exercise], TODAY, CAUTIONS, LIBRARY).kind


SPINE, PRAEVIA = ("spine fracture",), ("placenta praevia",)
# row of the evidence, flag, demand, what is wanted
ROWS: list[tuple[str, Flag, Demand, str]] = [
    ("5.1 OST-1", Flag("osteoporosis"), D.LOADED_FLEXION, "modify"),
    ("5.1 OST-4", Flag("osteoporosis"), D.END_FLEXION, "modify"),
    ("5.1 OST-4", Flag("osteoporosis", details=SPINE), D.END_FLEXION, "avoid"),
    ("5.1", Flag("osteoporosis", details=SPINE), D.LOADED_FLEXION, "avoid"),
    ("5.1", Flag("osteoporosis", details=SPINE), D.ROTATION, "avoid"),
    ("OST-1 extension in comfort", Flag("osteoporosis"), D.PRONE, "nothing"),
    ("OST-1 extension in comfort", Flag("osteoporosis", details=SPINE), D.PRONE, "nothing"),
    ("OST-2", Flag("osteoporosis", details=SPINE), D.JUMPING, "avoid"),
    ("OST-2", Flag("osteoporosis", details=("several fractures",)), D.JUMPING, "avoid"),
    ("OST-2", Flag("osteoporosis"), D.JUMPING, "modify"),
    ("OST-3", Flag("osteoporosis", details=("falls",)), D.SINGLE_LEG, "modify"),
    ("OST-3", Flag("falls", severity=MILD), D.SINGLE_LEG, "modify"),
    ("OST-5", Flag("osteoporosis"), D.FLEXION_ROTATION, "modify"),
    ("OST-5", Flag("osteoporosis", details=SPINE), D.FLEXION_ROTATION, "avoid"),
    ("OST-6", Flag("osteoporosis"), D.UNSTABLE, "modify"),
    ("OST-7", Flag("osteoporosis"), D.FAST_CHANGE, "modify"),
    ("OST-9", Flag("osteopenia"), D.END_FLEXION, "modify"),
    ("PRE-6 week 10", Flag("pregnancy", due=weeks(10)), D.SUPINE_FLAT, "nothing"),
    ("PRE-6 pinned week 13", Flag("pregnancy", due=weeks(13)), D.SUPINE_FLAT, "modify"),
    ("PRE-6 week 16", Flag("pregnancy", due=weeks(16)), D.SUPINE_FLAT, "modify"),
    ("PRE-6 weeks unknown", Flag("pregnancy"), D.SUPINE_FLAT, "modify"),
    (
        "PRE-6 symptom at any week",
        Flag("pregnancy", due=weeks(8), details=("unwell lying flat",)),
        D.SUPINE_FLAT,
        "modify",
    ),
    ("PRE-7 belly pressure", Flag("pregnancy", due=weeks(20)), D.PRONE, "avoid"),
    ("PRE-7 falls", Flag("pregnancy", due=weeks(20)), D.FALL_HEIGHT, "avoid"),
    ("PRE-7 breath-hold", Flag("pregnancy"), D.BREATH_HOLD, "avoid"),
    ("PRE-7 long motionless", Flag("pregnancy"), D.LONG_HOLD, "modify"),
    ("POST-4 week 8", Flag("after-birth", event=ago(8)), D.JUMPING, "avoid"),
    ("POST-4 week 13", Flag("after-birth", event=ago(13)), D.JUMPING, "nothing"),
    (
        "POST-4 week 13 leakage",
        Flag("after-birth", event=ago(13), details=("leakage",)),
        D.JUMPING,
        "avoid",
    ),
    ("POST-5", Flag("diastasis"), D.LOADED_FLEXION, "modify"),
    ("GLA-1", Flag("glaucoma"), D.HEAD_BELOW_HEART, "avoid"),
    ("GLA-4", Flag("glaucoma"), D.BREATH_HOLD, "avoid"),
    ("5.5 BP-5", Flag("high-blood-pressure"), D.BREATH_HOLD, "avoid"),
    ("BP-5", Flag("high-blood-pressure"), D.FAST_CHANGE, "modify"),
    ("BP-6 controlled", Flag("high-blood-pressure", severity=MILD), D.LONG_HOLD, "nothing"),
    ("BP-6", Flag("high-blood-pressure"), D.LONG_HOLD, "modify"),
    ("5.5", Flag("high-blood-pressure"), D.HEAD_BELOW_HEART, "modify"),
    (
        "5.6 HIP-1 posterior",
        Flag("hip-replacement", event=ago(6), details=("posterior",)),
        D.END_HIP_FLEXION,
        "avoid",
    ),
    (
        "HIP-1 posterior",
        Flag("hip-replacement", event=ago(6), details=("posterior",)),
        D.HIP_ADDUCTION,
        "avoid",
    ),
    (
        "HIP-1 posterior",
        Flag("hip-replacement", event=ago(6), details=("posterior",)),
        D.END_HIP_EXTENSION,
        "nothing",
    ),
    (
        "HIP-1 some for life",
        Flag("hip-replacement", event=ago(30), details=("posterior",)),
        D.HIP_ROTATION,
        "ask first",
    ),
    (
        "HIP-4 anterior, back leg",
        Flag("hip-replacement", event=ago(10), details=("anterior",)),
        D.END_HIP_EXTENSION,
        "modify",
    ),
    (
        "HIP-4 anterior, deep flexion",
        Flag("hip-replacement", event=ago(10), details=("anterior",)),
        D.END_HIP_FLEXION,
        "nothing",
    ),
    (
        "5.6 unknown approach: union",
        Flag("hip-replacement", event=ago(10)),
        D.END_HIP_FLEXION,
        "avoid",
    ),
    (
        "5.6 unknown approach: union",
        Flag("hip-replacement", event=ago(10)),
        D.END_HIP_EXTENSION,
        "modify",
    ),
    (
        "HIP-3 lateral without a sheet",
        Flag("hip-replacement", event=ago(10), details=("lateral",)),
        D.HIP_ROTATION,
        "avoid",
    ),
    ("KNE-1", Flag("kneecap"), D.DEEP_KNEE, "modify"),
    ("5.7", Flag("knee-arthrosis"), D.DEEP_KNEE, "modify"),
    ("KNE-4", Flag("knee-replacement", event=ago(52)), D.KNEELING, "modify"),
    ("KNE-4 not avoid", Flag("knee-replacement", severity=ACUTE), D.KNEELING, "modify"),
    ("SHO-1", Flag("shoulder", severity=MILD), D.OVERHEAD, "modify"),
    ("5.8 dips", Flag("shoulder", severity=MILD), D.SHOULDERS, "modify"),
    ("SHO-2 rows", Flag("shoulder"), D.ELBOW_LOAD, "nothing"),
    ("5.9 WRI-1", Flag("wrist", severity=MILD), D.WRISTS, "modify"),
    ("WRI-1", Flag("carpal-tunnel", severity=MILD), D.WRISTS, "modify"),
    ("WRI-3", Flag("carpal-tunnel", severity=MILD), D.GRIP, "modify"),
    ("LBP-3", Flag("low-back", details=("leg pain",)), D.LOADED_FLEXION, "modify"),
    ("5.10 acute disc", Flag("disc", severity=ACUTE), D.LOADED_FLEXION, "modify"),
    ("LBP-4", Flag("disc"), D.FLEXION_ROTATION, "modify"),
    ("5.12 SPL-1", Flag("spondylolisthesis"), D.END_EXTENSION, "modify"),
    ("SPL-1 unstable", Flag("spondylolisthesis", details=("unstable",)), D.END_EXTENSION, "avoid"),
    ("STE-1", Flag("stenosis"), D.END_EXTENSION, "modify"),
    ("STE-1 prone", Flag("stenosis"), D.PRONE, "modify"),
    ("5.13 SCO-1", Flag("scoliosis"), D.ROTATION, "modify"),
    ("5.14 PGP-2", Flag("pelvic-girdle"), D.WIDE_HIP, "modify"),
    ("PGP-2", Flag("pelvic-girdle"), D.SINGLE_LEG, "modify"),
    ("5.14", Flag("sacroiliac"), D.WIDE_HIP, "modify"),
    ("5.15 HYP-3", Flag("hypermobility"), D.HAMSTRING_STRETCH, "modify"),
    ("VER-1", Flag("vertigo", severity=MILD), D.FAST_CHANGE, "modify"),
    ("VER-1", Flag("vertigo", severity=MILD), D.HEAD_BELOW_HEART, "modify"),
    ("DIA-4", Flag("diabetes", details=("retinopathy",)), D.HEAD_BELOW_HEART, "avoid"),
    ("DIA-4", Flag("diabetes", details=("retinopathy",)), D.JUMPING, "avoid"),
    ("DIA-5", Flag("diabetes", details=("neuropathy",)), D.SINGLE_LEG, "modify"),
    ("DIA-6", Flag("diabetes", details=("autonomic neuropathy",)), D.FLOOR_TRANSFER, "modify"),
    ("STN-1 sheet missing", Flag("sternotomy", event=ago(20)), D.WRISTS, "ask first"),
    ("STN-1 answered", Flag("sternotomy", event=ago(20), **GP), D.WRISTS, "modify"),
    ("CAN-1", Flag("bone-metastases"), D.END_EXTENSION, "avoid"),
    ("MS by balance", Flag("multiple-sclerosis", severity=MILD), D.UNSTABLE, "modify"),
]


@pytest.mark.parametrize(("row", "flag", "demand", "want"), ROWS)
def test_a_demand_is_minded_as_the_evidence_says(
    row: str, flag: Flag, demand: Demand, want: str
) -> None:
    assert wanted(flag, demand) == want, row


# row, flag, whether a stop rule holds and whether all is held back
HELD: list[tuple[str, Flag, bool, bool]] = [
    ("PRE-1", Flag("pregnancy", due=weeks(20), details=("pre-eclampsia",)), False, True),
    ("LBP-6", Flag("pregnancy", details=("pre-eclampsia",)), False, True),
    ("PRE-3 praevia at 27", Flag("pregnancy", due=weeks(27), details=PRAEVIA), False, True),
    ("PRE-1 praevia at 24", Flag("pregnancy", due=weeks(24), details=PRAEVIA), False, False),
    ("PRE-2 27+6", Flag("pregnancy", due=weeks(27 + 6 / 7), details=("twins",)), False, False),
    ("PRE-2 28+0", Flag("pregnancy", due=weeks(28), details=("twins",)), False, False),
    ("PRE-2 28+1", Flag("pregnancy", due=weeks(28 + 1 / 7), details=("twins",)), False, True),
    ("PRE-3 severe anaemia", Flag("pregnancy", details=("severe anaemia",)), False, True),
    ("PRE-4", Flag("pregnancy", details=("contractions",)), True, True),
    ("PRE-5", Flag("pregnancy", details=("less fetal movement",)), True, True),
    ("POST-3", Flag("after-birth", details=("anaemia",)), False, True),
    ("POST-3", Flag("after-birth", details=("calf pain or swelling",)), True, True),
    ("BP-1", Flag("high-blood-pressure", details=("over 200/110",)), True, True),
    ("BP-3", Flag("high-blood-pressure", details=("over 180/110",)), False, True),
    ("BP-4", Flag("high-blood-pressure", details=("over 160/100",)), False, True),
    ("BP-7", Flag("high-blood-pressure"), False, False),
    ("HIP-2 first weeks", Flag("hip-replacement", event=ago(3)), False, True),
    ("LBP-2", Flag("low-back"), False, False),
    ("LBP-6", Flag("low-back", details=("fracture",)), False, True),
    ("LBP-6", Flag("spondylolisthesis", details=("unstable",)), False, True),
    ("RED-1", Flag("low-back", details=("saddle numbness",)), True, True),
    ("5.10 disc", Flag("disc", details=("weakness getting worse",)), True, True),
    ("VER-2 treated", Flag("vertigo", severity=MILD, details=("treated",)), False, False),
    ("VER-3", Flag("vertigo", details=("slurred speech",)), True, True),
    ("5.17 below 2.9", Flag("diabetes", details=("glucose under 2.9",)), True, True),
    ("5.17 below 4", Flag("diabetes", details=("glucose under 4",)), False, True),
    ("DIA-2", Flag("diabetes", details=("glucose over 15",)), False, True),
    ("AST-3", Flag("asthma", details=("wheeze today",)), False, True),
    ("CAR-1", Flag("heart-disease", details=("marfan",), **GP), False, False),
    ("CAR-1", Flag("heart-disease", details=("marfan",)), False, True),
    ("CAR-2", Flag("heart-disease", details=("palpitations",), **GP), True, True),
    ("CAR-2 murmur", Flag("heart-disease", details=("murmur",)), False, True),
    ("CLO-1", Flag("clot", details=("leg signs now",), **GP), True, True),
    ("5.20 known clot", Flag("clot"), False, True),
    ("ILL-1", Flag("illness"), False, True),
    ("5.21 recent surgery", Flag("surgery", event=ago(2)), False, True),
    ("GEN-1", Flag("serious"), False, True),
    ("GEN-1", Flag("eye"), False, True),
    ("CAN-2", Flag("cancer", severity=MILD, details=("new bone pain",)), True, True),
    ("CAN-4", Flag("cancer"), False, True),
    ("MS wheelchair", Flag("multiple-sclerosis", details=("wheelchair",)), False, True),
    ("Parkinson's advanced", Flag("parkinsons", details=("advanced",)), False, True),
    ("COPD", Flag("copd"), False, True),
]  # fmt: skip


@pytest.mark.parametrize(("row", "flag", "stop", "held"), HELD)
def test_a_person_is_held_back_as_the_evidence_says(
    row: str, flag: Flag, stop: bool, held: bool
) -> None:
    m = mind(flag)
    assert (m.stop, bool(m.binding)) == (stop, held), row


PREGNANT_24 = Flag("pregnancy", due=weeks(24), **GP)
# row, exercise, flags, verdict
ON_EXERCISES: list[tuple[str, str, tuple[Flag, ...], Kind]] = [
    ("5.1 roll-up", "mat-roll-up", (Flag("osteoporosis", details=SPINE),), Kind.MODIFY),
    ("5.4 pike", "chair-pike", (Flag("glaucoma", severity=MILD),), Kind.MODIFY),
    ("5.9 forearm plank", "mat-forearm-plank", (Flag("wrist"),), Kind.FINE),
    ("GLA-2 plank", "mat-forearm-plank", (Flag("glaucoma"),), Kind.MODIFY),
    ("GLA-3 light work", "chair-biceps-curl", (Flag("glaucoma"),), Kind.FINE),
    ("POST-2 week 4", "mat-standing-breath", (Flag("after-birth", event=ago(4)),), Kind.FINE),
    ("POST-1 week 5", "mat-hundred", (Flag("after-birth", event=ago(5)),), Kind.ASK_FIRST),
    ("LBP-2", "mat-hundred", (Flag("low-back"),), Kind.FINE),
    ("SHO-2 row", "chair-one-arm-row", (Flag("shoulder"),), Kind.FINE),
    ("5.8 dips", "chair-dips", (Flag("shoulder", severity=MILD),), Kind.MODIFY),
    ("OST-11", "mat-teaser", (Flag("osteoporosis", details=SPINE),), Kind.ASK_FIRST),
    ("PRE-9", "chair-pike", (Flag("pregnancy", due=weeks(24)),), Kind.ASK_FIRST),
    ("DIA-7 vigorous", "chair-pike", (Flag("diabetes"),), Kind.ASK_FIRST),
    ("DIA-5 ulcer", "tower-heel-raise", (Flag("diabetes", details=("foot ulcer",)),), Kind.SWAP),
    ("DIA-4 seated", "chair-biceps-curl", (Flag("diabetes", details=("retinopathy",)),), Kind.FINE),
    ("5.2 supine", "reformer-footwork-toes", (PREGNANT_24,), Kind.MODIFY),
]  # fmt: skip


@pytest.mark.parametrize(("row", "exercise", "flags", "want"), ON_EXERCISES)
def test_an_exercise_of_the_library_is_judged_as_the_evidence_says(
    row: str, exercise: str, flags: tuple[Flag, ...], want: Kind
) -> None:
    assert kind(exercise, *flags) is want, row


def test_bone_metastases_are_at_least_as_strict_as_a_spine_fracture() -> None:
    """CAN-1."""
    bone, spine = mind(Flag("bone-metastases")), mind(Flag("osteoporosis", details=SPINE))
    assert bone.avoid >= spine.avoid
    assert bone.barred >= spine.barred


@pytest.mark.parametrize(
    ("row", "flag"),
    [
        ("OST-8", Flag("osteoporosis")),
        ("LBP-2", Flag("low-back")),
        ("BP-7", Flag("high-blood-pressure")),
        ("KNE-3", Flag("knee-arthrosis")),
    ],
)
def test_a_common_condition_leaves_at_least_half_of_a_neutral_repertoire(
    row: str, flag: Flag
) -> None:
    easy = [e for e in LIBRARY.exercises.values() if e.level < 3]
    found = verdicts(person(flag), easy, TODAY, CAUTIONS, LIBRARY)
    assert sum(v.kind in (Kind.FINE, Kind.MODIFY) for v in found) >= len(easy) / 2, row


def test_flexion_and_extension_rules_fire_together_and_neutral_items_stay() -> None:
    """EVIDENCE 5.12, STE-1."""
    both = (Flag("stenosis"), Flag("osteoporosis", details=SPINE))
    m = mind(*both)
    assert {D.END_EXTENSION, D.LOADED_FLEXION} <= m.barred
    found = verdicts(person(*both), LIBRARY.exercises.values(), TODAY, CAUTIONS, LIBRARY)
    assert sum(v.kind is Kind.FINE for v in found) > 100


def test_saw_has_one_finding_that_names_both_demands() -> None:
    """OST-5."""
    saw = LIBRARY["tower-saw"]
    found = verdict(person(Flag("osteoporosis")), saw, TODAY, CAUTIONS, LIBRARY)
    (reason,) = [r for r in found.reasons if r.rule.id == "OST-5"]
    assert reason.demands == {D.ROTATION, D.FLEXION_ROTATION}


def test_praevia_shows_both_sources() -> None:
    """EVIDENCE 14, PRE-3: the conflict of weeks is data."""
    flag = Flag("pregnancy", due=weeks(27), details=PRAEVIA)
    found = verdict(person(flag), LIBRARY["mat-hundred"], TODAY, CAUTIONS, LIBRARY)
    (reason,) = [r for r in found.reasons if r.rule.id == "PRE-1P"]
    assert reason.rule.source.id == "acsm-pregnancy"
    assert "mottola-2018" in reason.rule.differs


def test_rules_for_the_person_are_advice() -> None:
    """AST-1, AST-2, OST-10, BP-5."""
    for condition, ids in (
        ("asthma", {"AST-1", "AST-2"}),
        ("osteoporosis", {"OST-10"}),
        ("high-blood-pressure", {"BP-5B"}),
    ):
        found = {r.rule.id for r in advice(person(Flag(condition)), TODAY, CAUTIONS)}
        assert ids <= found


def test_the_unknown_is_never_fine_whatever_is_recorded() -> None:
    """EVIDENCE 5.22."""
    for flag in (Flag("frobnitis"), Flag("unknown"), Flag("frobnitis", **GP)):
        found = verdicts(person(flag), LIBRARY.exercises.values(), TODAY, CAUTIONS, LIBRARY)
        assert {v.kind for v in found} == {Kind.ASK_FIRST}


def test_an_answer_opens_only_what_was_asked() -> None:
    """A recorded answer keeps who and when; what is avoided stays avoided."""
    asked, answered = Flag("heart-disease"), Flag("heart-disease", **GP)
    gentle = LIBRARY["chair-biceps-curl"]
    before = verdict(person(asked), gentle, TODAY, CAUTIONS, LIBRARY)
    after = verdict(person(answered), gentle, TODAY, CAUTIONS, LIBRARY)
    assert (before.kind, after.kind) == (Kind.ASK_FIRST, Kind.FINE)
    assert [(n.rule.id, n.flag.answered_by) for n in after.notes] == [("CAR-4", "gp")]
    assert mind(asked).avoid == mind(answered).avoid
    stale = Flag("heart-disease", answered=ago(53), answered_by="gp")
    assert verdict(person(stale), gentle, TODAY, CAUTIONS, LIBRARY).kind is Kind.ASK_FIRST


def test_a_lapsed_review_lifts_nothing() -> None:
    for review in (ago(1), TODAY, ago(300)):
        assert mind(Flag("wrist", review=review)).barred == mind(Flag("wrist")).barred


def test_a_passed_due_date_lifts_nothing() -> None:
    late = mind(Flag("pregnancy", due=ago(6)))
    assert {D.PRONE, D.FALL_HEIGHT} <= late.avoid


def test_rules_change_as_weeks_go_by() -> None:
    flag = Flag("after-birth", event=TODAY)
    seen = [
        wanted_on(flag, TODAY + timedelta(weeks=n), D.ABDOMINAL_PRESSURE) for n in (0, 5, 6, 12, 13)
    ]
    assert seen == ["avoid", "avoid", "modify", "modify", "nothing"]


def wanted_on(flag: Flag, day: date, demand: Demand) -> str:
    """What is wanted for a demand on a day."""
    m = minded((flag,), day, CAUTIONS)
    return "avoid" if demand in m.avoid else "modify" if demand in m.modify else "nothing"


WRIST, KNEEL = "weight on wrists", "kneeling pressure"


def library(**changes: object) -> tuple[Repertoire, Exercise]:
    """An exercise with demands of wrists and knees, and a stand-in without any."""
    own: dict[str, object] = {"demands": [WRIST], "effort": 3} | changes
    made = repertoire(record("mat-a", **own), record("mat-b", effort=3))
    return made, made["mat-a"]


def on(
    made: Repertoire, e: Exercise, *flags: Flag
) -> tuple[Kind, tuple[str, ...], Exercise | None]:
    """Kind, changes and swap of a verdict."""
    v = verdict(person(*flags), e, TODAY, CAUTIONS, made)
    return v.kind, v.change.words, v.swap


def test_a_change_for_one_flag_may_not_break_another() -> None:
    kneeling = {"do": "Kneel", "removes": [WRIST], "adds": [KNEEL]}
    standing = {"do": "Stand", "removes": [WRIST]}
    made, e = library(modifications=[kneeling, standing])
    assert on(made, e, Flag("wrist"))[1] == ("Stand",)
    made, e = library(modifications=[kneeling])
    assert on(made, e, Flag("wrist"))[:2] == (Kind.MODIFY, ("Kneel",))
    found = on(made, e, Flag("wrist"), Flag("knee"))
    assert found == (Kind.SWAP, (), made["mat-b"])


def test_the_smallest_set_of_changes_is_taken() -> None:
    one = {"do": "One", "removes": [WRIST]}
    two = {"do": "Two", "removes": [KNEEL]}
    both = {"do": "Both", "removes": [WRIST, KNEEL]}
    flags = (Flag("wrist"), Flag("knee"))
    made, e = library(demands=[WRIST, KNEEL], modifications=[one, two, both])
    assert on(made, e, *flags)[1] == ("Both",)
    assert on(made, e, flags[0])[1] == ("One",)
    made, e = library(demands=[WRIST, KNEEL], modifications=[one, two])
    assert on(made, e, *flags)[1] == ("One", "Two")


def test_without_change_and_swap_it_is_left_out() -> None:
    made = repertoire(record("mat-a", demands=[WRIST]), record("mat-b", demands=[WRIST]))
    assert on(made, made["mat-a"], Flag("wrist")) == (Kind.LEAVE_OUT, (), None)


def test_a_swap_stays_on_the_apparatus_in_use() -> None:
    flag = Flag("wrist", severity=ACUTE)
    for e in LIBRARY.exercises.values():
        v = verdict(person(flag), e, TODAY, CAUTIONS, LIBRARY, frozenset({e.apparatus}))
        assert v.swap is None or v.swap.apparatus == e.apparatus


def test_stop_beats_all_and_offers_no_swap() -> None:
    flags = (Flag("wrist"), Flag("heart-disease", details=("chest pain",), **GP))
    v = verdict(person(*flags), LIBRARY["mat-push-up"], TODAY, CAUTIONS, LIBRARY)
    assert (v.kind, v.stop, v.swap) == (Kind.ASK_FIRST, True, None)
    assert v.reasons[0].rule.id == "CAR-2"


def test_allow_never_cancels_the_rule_of_another() -> None:
    assert mind(Flag("stenosis"), Flag("osteoporosis")).modify >= {D.LOADED_FLEXION}


def test_reasons_name_only_what_the_exercise_asks_and_sources_stand_once() -> None:
    e = LIBRARY["chair-pike"]
    v = verdict(person(Flag("wrist"), Flag("carpal-tunnel")), e, TODAY, CAUTIONS, LIBRARY)
    assert v.reasons
    assert all(reason.demands <= e.demands for reason in v.reasons)
    assert len(set(v.sources)) == len(v.sources)


def test_planks_of_the_library_are_planks() -> None:
    """GLA-2 takes hold of planks by their position."""
    assert LIBRARY["mat-forearm-plank"].position is Position.PLANK


STRAINING = tuple(e for e in LIBRARY.exercises.values() if D.BREATH_HOLD in e.demands)


@pytest.mark.parametrize(
    "condition", ["high-blood-pressure", "heart-disease", "glaucoma", "stroke", "copd"]
)
def test_strain_is_minded_where_pressure_is(condition: str) -> None:
    """BP-5, CAR-5, GLA-4, STR-3, COP-4: straining is left out whatever the severity."""
    assert len(STRAINING) >= 50
    for severity in Severity:
        for e in STRAINING:
            v = verdict(person(Flag(condition, severity=severity)), e, TODAY, CAUTIONS, LIBRARY)
            assert v.kind is not Kind.FINE, e.id
            assert not v.swap or D.BREATH_HOLD not in v.swap.demands


def test_no_flexion_under_effort_is_without_a_flexion_demand() -> None:
    bent = {D.LOADED_FLEXION, D.END_FLEXION, D.FLEXION_ROTATION}
    silent = [
        e.id
        for e in LIBRARY.exercises.values()
        if Direction.FLEXION in e.directions and e.effort >= 4 and not e.demands & bent
    ]
    assert silent == []


def test_what_asks_for_most_and_long_holds_are_called_straining() -> None:
    """The rule of the library's README, read again from the records."""
    for e in LIBRARY.exercises.values():
        held = D.LONG_HOLD in e.demands
        plank = held and e.position is Position.PLANK and e.effort >= 5
        belly = held and D.ABDOMINAL_PRESSURE in e.demands and e.effort >= 6
        if e.effort >= 9 or plank or belly:
            assert D.BREATH_HOLD in e.demands, e.id

"""The caution rules as data: complete, sourced, honestly worded, and refused when they are not."""

import re
from collections import Counter
from typing import Any

import pytest

from core.caution_record import build_cautions, shipped_cautions
from core.caution_rule import UNKNOWN, Action, Cautions, Rule, Seen, Tag
from core.client import Severity
from core.errors import LibraryError
from core.flag_vocabulary import bare, tokens, vocabulary_of
from core.red_flag_signs import signs
from core.repertoire import shipped

CAUTIONS = shipped_cautions()
RULES = tuple(CAUTIONS.rules.values())
# A rule whose source nobody has read says so by its wording.
HEDGES = re.compile(r"\b(?:usual|usually|often|may|many|commonly|tends)\b", re.IGNORECASE)
CLAIMS = re.compile(
    r"\b(?:treats|cures?|prevents|will damage|unstable pelvis|is safe|are safe|cleared to"
    r"|guarantee|corrects?|corrective|probability)\b",
    re.IGNORECASE,
)
ASKED_FOR = """
low bone density | osteoporosis with fracture | pregnancy | after birth | diastasis
high blood pressure | heart disease | glaucoma | hip replacement | knee replacement
knee arthrosis | kneecap pain | shoulder | wrist | carpal tunnel | neck | low back pain
disc with leg signs | spondylolisthesis | stenosis | scoliosis | sacroiliac | pelvic girdle pain
hypermobility | vertigo | diabetes | asthma | clot | recent surgery | acute illness | ankle
foot | elbow | hamstring strain
"""
TYPED = """
bad knee | preggers | sij | carpal | hip replacement | thr | tkr | osteopenia | slipped disc
sciatica | high bp | dvt | frozen shoulder | tennis elbow | plantar fasciitis | prolapse
c section | ms | copd | heart attack | epley | achilles | rotator cuff | runners knee | spd
pgp | eds | bppv | t1d | afib
"""


def split(text: str) -> list[str]:
    """The entries of a list written with bars."""
    return [
        entry.strip() for line in text.splitlines() for entry in line.split("|") if entry.strip()
    ]


def test_there_are_enough_of_them() -> None:
    assert len(CAUTIONS.conditions) >= 25
    assert len(RULES) >= 120


def test_every_rule_has_a_source_a_tag_and_words_of_a_phone_line_or_two() -> None:
    for rule in RULES:
        assert rule.source.cite
        assert rule.tag in Tag
        assert rule.seen in Seen
        assert rule.says.endswith(".")
        assert 10 <= len(rule.says) <= 120, rule.id
        assert rule.change == "" or rule.change.endswith("."), rule.id


def test_nothing_from_memory_is_worded_as_certain() -> None:
    for rule in RULES:
        if rule.tag is Tag.MEMORY or rule.seen is Seen.MEMORY:
            assert HEDGES.search(rule.says), rule.id


def test_no_rule_promises_or_clears() -> None:
    for text in [r.says + r.change for r in RULES] + [
        c.plain for c in CAUTIONS.conditions.values()
    ]:
        assert not CLAIMS.search(text), text


def test_a_guideline_or_study_was_read_at_least_second_hand() -> None:
    for rule in RULES:
        if rule.tag in (Tag.GUIDELINE, Tag.STUDY):
            assert rule.seen is not Seen.MEMORY, rule.id
            assert rule.source.id not in ("practice", "memory"), rule.id


def test_a_conflict_names_a_source_that_is_known() -> None:
    known = set(CAUTIONS.sources)
    for rule in RULES:
        if rule.differs:
            named = set(re.findall(r"[a-z0-9-]+", rule.differs)) & known
            assert named or re.search(r"review|studies|study|lists|texts|one", rule.differs), (
                rule.id
            )
    assert sum(bool(rule.differs) for rule in RULES) >= 15


@pytest.mark.parametrize("name", split(ASKED_FOR) + split(TYPED))
def test_what_people_type_is_known(name: str) -> None:
    known = vocabulary_of(CAUTIONS)
    words = tokens(name)
    assert any(known.named(words, at)[0] for at in range(len(words))), name


def test_an_alias_means_one_condition_unless_it_is_a_question() -> None:
    shared = {k: c for k, c in vocabulary_of(CAUTIONS).aliases.items() if len(c) > 1}
    assert {" ".join(key) for key in shared} == {
        "arthritis", "osteoarthritis", "arthrosis", "bone bone", "bursitis", "labrum",
    }  # fmt: skip


def test_details_have_words_or_come_from_a_reading() -> None:
    for condition in CAUTIONS.conditions.values():
        ids = [detail.id for detail in condition.details]
        assert len(set(ids)) == len(ids)
        for detail in condition.details:
            reading = detail.id.startswith(("over ", "glucose ")) or detail.id.startswith(
                "fast rest"
            )
            assert detail.words or reading, (condition.id, detail.id)
            assert all(bare(tokens(words)) for words in detail.words)


def test_every_condition_but_the_unknown_has_aliases_and_plain_words() -> None:
    for condition in CAUTIONS.conditions.values():
        assert condition.plain
        assert condition.aliases or condition.id == UNKNOWN
        assert condition.kind in ("condition", "body part")


def test_the_library_reads_nothing_of_the_cautions_as_exercises() -> None:
    assert not set(shipped().exercises) & set(CAUTIONS.rules)


def test_every_listed_bar_of_pregnancy_is_kept() -> None:
    """PRE-1: 12 when split; PRE-2: 9; PRE-4 with PRE-5: 12 stop signs, 13 with one from memory."""
    of = {name: CAUTIONS.rules[name].details for name in CAUTIONS.rules if name.startswith("PRE-")}
    absolute = {
        "ruptured membranes", "premature labour", "unexplained bleeding", "placenta praevia",
        "pre-eclampsia", "incompetent cervix", "growth restriction", "triplets",
        "uncontrolled diabetes", "uncontrolled high blood pressure", "uncontrolled thyroid",
        "serious disorder",
    }  # fmt: skip
    relative = {
        "recurrent loss", "past preterm birth", "gestational hypertension", "anaemia",
        "malnutrition", "eating disorder", "twins", "heart or lung disease", "other condition",
    }  # fmt: skip
    assert of["PRE-1"] | of["PRE-1P"] == absolute
    assert of["PRE-2"] | of["PRE-2T"] == relative
    assert len(of["PRE-4"]) == 6
    signs = of["PRE-4"] | of["PRE-5"] - {"premature labour"} | of["PRE-5M"]
    assert of["PRE-5M"] == {"abdominal pain"}
    assert CAUTIONS.rules["PRE-5M"].tag is Tag.MEMORY
    assert len(signs | of["PRE-5"]) == 12


def test_every_listed_bar_of_the_heart_is_kept() -> None:
    """CAR-1: nine, with pressure over 180/110 among them; CAR-2: nine, the murmur apart."""
    assert len(CAUTIONS.rules["CAR-1"].details) == 9
    signs = CAUTIONS.rules["CAR-2"].details | CAUTIONS.rules["CAR-2M"].details
    assert len(signs) == 9


def test_every_source_is_used() -> None:
    used = {rule.source.id for rule in RULES} | {sign.source for sign in signs()}
    told = " ".join(rule.differs for rule in RULES)
    assert [each for each in CAUTIONS.sources if each not in used and each not in told] == []


def test_tags_are_spread_and_known() -> None:
    count = Counter(rule.tag for rule in RULES)
    assert set(count) == set(Tag)
    assert count[Tag.GUIDELINE] + count[Tag.STUDY] >= 120


SOURCE: dict[str, Any] = {"id": "book", "cite": "A book"}
CONDITION: dict[str, Any] = {
    "id": UNKNOWN, "name": "x", "kind": "condition", "aliases": ["x"], "plain": "x",
}  # fmt: skip
RULE: dict[str, Any] = {
    "id": "X-1", "condition": UNKNOWN, "action": "ask first", "says": "Ask.", "source": "book",
    "tag": "guideline", "seen": "table",
}  # fmt: skip


def made(*rules: dict[str, Any], condition: dict[str, Any] | None = None) -> Cautions:
    """Cautions of one condition, its question, and these rules."""
    extra = [RULE | {"id": f"X-{n}"} | rule for n, rule in enumerate(rules, start=2)]
    return build_cautions([SOURCE], [CONDITION | (condition or {})], [RULE, *extra])


@pytest.mark.parametrize(
    ("rule", "sentence"),
    [
        ({"colour": "red"}, "unknown field colour"),
        ({"source": "hearsay"}, "hearsay"),
        ({"tag": "sure"}, "sure"),
        ({"says": " "}, "says nothing"),
        ({"action": "avoid"}, "nothing in particular"),
        ({"action": "stop", "demand": ["jumping"]}, "for the person"),
        ({"action": "modify", "position": ["plank"]}, "change"),
        ({"action": "modify", "demand": ["jumping"], "change": "Less."}, "change"),
        ({"severity": ["mild"]}, "a worse flag escapes"),
        ({"severity": []}, "no severity"),
        ({"details": ["posterior"]}, "a detail that"),
        ({"from_week": 3}, "no time"),
        ({"from_week": 3, "to_week": 3}, "window is empty"),
        ({"condition": "gout"}, "no condition gout"),
        ({"id": "X-1"}, "stands twice"),
        ({"demand": ["levitation"]}, "levitation"),
    ],
)
def test_a_rule_that_is_wrong_is_refused(rule: dict[str, Any], sentence: str) -> None:
    made()
    with pytest.raises(LibraryError, match=sentence):
        made(rule)


@pytest.mark.parametrize(
    ("condition", "sentence"),
    [
        ({"kind": "curse"}, "kind is one of"),
        ({"timed": "sometimes"}, "sometimes"),
        ({"colour": "red"}, "unknown field"),
    ],
)
def test_a_condition_that_is_wrong_is_refused(condition: dict[str, Any], sentence: str) -> None:
    with pytest.raises(LibraryError, match=sentence):
        made(condition=condition)


def test_a_condition_without_a_rule_for_a_severity_is_refused() -> None:
    acute = RULE | {"severity": ["acute"]}
    with pytest.raises(LibraryError, match="no rule when it is mild"):
        build_cautions([SOURCE], [CONDITION], [acute])


def test_unknown_words_must_lead_to_a_question() -> None:
    allowed = RULE | {"action": "allow"}
    with pytest.raises(LibraryError, match="question"):
        build_cautions([SOURCE], [CONDITION], [allowed])


def test_a_rule_for_a_severity_holds_for_every_worse_one() -> None:
    order = list(Severity)

    def closed(rule: Rule) -> bool:
        return [s in rule.severities for s in order] == sorted(s in rule.severities for s in order)

    assert all(closed(rule) for rule in RULES if rule.action is not Action.ALLOW)

"""Words of an emergency kind, and ordinary notes that must not raise an alarm."""

import pytest

from core.caution_record import shipped_cautions
from core.red_flag_signs import Urgency, signs
from core.red_flags import Said, alarms

ASK, STOP, EMERGENCY = Urgency.ASK, Urgency.STOP, Urgency.EMERGENCY

# words, sign, urgency, where it is said
RAISED = [
    ("chest pain in footwork", "chest-pain", EMERGENCY, "TRADE 5, CAR-2"),
    ("pressure on her chest", "chest-pain", EMERGENCY, "EVIDENCE 5.19"),
    ("pain down the left arm", "chest-pain", STOP, "CAR-2"),
    ("breathless at rest", "breathless", STOP, "PRE-4, CAR-2"),
    ("short of breath lying down", "breathless", STOP, "CAR-2"),
    ("breathless at night", "breathless", STOP, "CAR-2"),
    ("breathless before we started", "breathless", STOP, "PRE-5"),
    ("short of breath, does not settle with rest", "breathless", STOP, "PRE-4"),
    ("sudden breathlessness", "breathless", STOP, "CLO-2"),
    ("she can't breathe", "breathless", EMERGENCY, "CLO-2"),
    ("dizzy", "faint", STOP, "TRADE 5, CAR-2"),
    ("fainted after class", "faint", STOP, "POST-3"),
    ("palpitations", "palpitations", STOP, "CAR-2"),
    ("heart racing while lying still", "palpitations", STOP, "CAR-2"),
    ("both ankles swollen", "ankle-swelling", STOP, "CAR-2"),
    ("swollen ankle", "ankle-swelling", ASK, "CAR-2"),
    ("unusually tired", "fatigue", ASK, "CAR-2"),
    ("left calf swollen", "clot-leg", STOP, "TRADE 5, CLO-1"),
    ("calf is warm and red", "clot-leg", STOP, "CLO-1"),
    ("pain in one calf", "clot-leg", STOP, "EVIDENCE 5.20"),
    ("coughing up blood", "clot-lung", EMERGENCY, "CLO-2"),
    ("saddle numbness", "cauda-equina", EMERGENCY, "RED-1"),
    ("numb between the legs", "cauda-equina", EMERGENCY, "RED-1"),
    ("lost bladder control", "cauda-equina", EMERGENCY, "TRADE 5, RED-1"),
    ("no bowel control since sunday", "cauda-equina", EMERGENCY, "RED-1"),
    ("weakness in both legs", "cauda-equina", EMERGENCY, "RED-1"),
    ("new pain in both legs", "cauda-equina", EMERGENCY, "RED-1"),
    ("sexual dysfunction with back pain", "cauda-equina", STOP, "RED-1"),
    ("new numbness in the foot", "new-weakness", STOP, "TRADE 5"),
    ("sudden weakness in her hand", "new-weakness", STOP, "EVIDENCE 5.16"),
    ("weakness getting worse", "new-weakness", STOP, "EVIDENCE 5.11"),
    ("foot drop", "new-weakness", STOP, "RED-1"),
    ("slurred speech", "stroke", EMERGENCY, "VER-3"),
    ("double vision", "stroke", EMERGENCY, "VER-3"),
    ("trouble swallowing", "stroke", EMERGENCY, "VER-3"),
    ("clumsy limb", "stroke", EMERGENCY, "VER-3"),
    ("she cannot stand up", "stroke", EMERGENCY, "VER-3"),
    ("worst headache ever", "worst-headache", EMERGENCY, "EVIDENCE 5.16"),
    ("sudden severe pain", "sudden-pain", STOP, "TRADE 5"),
    ("unexplained acute pain", "sudden-pain", STOP, "TRADE 5"),
    ("on steroids, fell, back pain", "spine-fracture", STOP, "RED-2"),
    ("unexplained weight loss", "spine-cancer", STOP, "RED-3"),
    ("constant night pain", "spine-cancer", STOP, "RED-3"),
    ("had cancer, back pain again", "spine-cancer", STOP, "RED-3"),
    ("new bone pain", "bone-pain", STOP, "CAN-2"),
    ("fever and back pain", "infection", STOP, "RED-4"),
    ("fever", "infection", ASK, "ILL-1"),
    ("vaginal bleeding", "bleeding", STOP, "PRE-4"),
    ("pregnant and bleeding", "bleeding", STOP, "TRADE 5, PRE-4"),
    ("pregnant, regular painful contractions", "contractions", STOP, "PRE-4"),
    ("waters broke", "fluid-loss", STOP, "PRE-4"),
    ("continuing fluid loss", "fluid-loss", STOP, "PRE-4"),
    ("baby moving less", "less-movement", STOP, "PRE-5"),
    ("pregnant with a headache", "worst-headache", STOP, "PRE-5"),
    ("pregnant, muscle weakness affecting balance", "new-weakness", STOP, "PRE-5"),
    ("pregnant, calf pain", "clot-leg", STOP, "PRE-5"),
    ("28 weeks pregnant, belly pain", "abdominal-pain", STOP, "PRE-5, from memory"),
    ("hypo this morning", "low-sugar", STOP, "EVIDENCE 5.17"),
    ("palpitatons", "palpitations", STOP, "a slip of the keys"),
    ("chset pian", "chest-pain", EMERGENCY, "a slip of the keys"),
    ("NEW NUMBNESS!!", "new-weakness", STOP, "capitals and marks"),
]

ORDINARY = """
chest lift went well | chest expansion heavy springs | calf stretch good | calf raises on the pedal
breathless after the hundred, settles | out of breath in footwork, settled quickly | weak glutes
pelvic floor contractions better | goal: weight loss | leg press on red springs | red leg springs
both legs tired | swollen knee | leaking when jumping | pressure on chest pad | faint click in hip
less movement in the hip | strong today, sudden drop to one knee was fun | no complaints | pain free
knee sore after footwork | fell over laughing | headache after class | tummy pain after lunch
warm calf up before jumping | stroke rehab 2019 | heart disease, stable | back pain after gardening
loves the long stretch | needs more balance work | leg circles smaller | numbers: 8 reps | hot room
lost control of the carriage once | bladder fine | left hip tight
""".replace("\n", " | ").split(" | ")


@pytest.mark.parametrize(("text", "sign", "urgency", "where"), RAISED)
def test_a_sign_is_found(text: str, sign: str, urgency: Urgency, where: str) -> None:
    found = {alarm.sign: alarm for alarm in alarms(text)}
    assert sign in found, where
    assert (found[sign].urgency, found[sign].said) == (urgency, Said.MEANT), where
    assert found[sign].stops is (urgency > ASK)


@pytest.mark.parametrize("text", [text.strip() for text in ORDINARY if text.strip()])
def test_an_ordinary_note_raises_nothing(text: str) -> None:
    assert alarms(text) == ()


def test_what_is_denied_is_asked_about_and_never_stops() -> None:
    for text in ("no chest pain", "denies any chest pain", "she never had chest pain",
                 "without chest pain"):  # fmt: skip
        (alarm,) = alarms(text)
        assert (alarm.said, alarm.sentence, alarm.stops) == (Said.DENIED, "red-flag-denied", False)


def test_a_denial_ends_where_the_sentence_turns() -> None:
    for text in (
        "no pain but dizzy",
        "no pain. dizzy",
        "no chest pain, dizzy",
        "no pain and dizzy",
    ):
        meant = [alarm.sign for alarm in alarms(text) if alarm.said is Said.MEANT]
        assert meant == ["faint"], text
    listed = alarms("no chest pain, dizziness or palpitations")
    assert {alarm.said for alarm in listed} == {Said.DENIED}
    assert len(listed) == 3


def test_not_sure_is_no_denial() -> None:
    assert alarms("not sure, chest pain again")[0].said is Said.MEANT
    assert alarms("not better, chest pain")[0].said is Said.MEANT


def test_a_sign_that_is_meant_beats_the_same_one_denied() -> None:
    (alarm,) = alarms("last week no chest pain. today chest pain")
    assert alarm.said is Said.MEANT


def test_some_signs_weigh_more_near_a_birth() -> None:
    assert alarms("bleeding")[0].urgency is ASK
    assert alarms("bleeding", pregnant=True)[0].urgency is STOP
    assert alarms("a headache") == ()
    assert alarms("a headache", pregnant=True)[0].urgency is STOP


def test_the_most_urgent_comes_first() -> None:
    found = alarms("dizzy, numb toes, chest pain")
    assert [alarm.urgency for alarm in found] == [EMERGENCY, STOP, ASK]


def test_single_weak_items_do_not_stop() -> None:
    """RED-3: age alone is information; RED-5: no single item is a diagnosis."""
    assert alarms("aged 60, back pain") == ()
    assert not any(alarm.stops for alarm in alarms("night pain in the shoulder"))


def test_each_sign_has_a_source_and_each_condition_names_signs_that_exist() -> None:
    cautions = shipped_cautions()
    sources = {rule.source.id for rule in cautions.rules.values()}
    ids = [sign.id for sign in signs()]
    assert len(set(ids)) == len(ids)
    assert {sign.source for sign in signs()} <= sources
    for condition in cautions.conditions.values():
        assert set(condition.red_flags) <= set(ids), condition.id


def test_every_listed_sign_of_the_cauda_equina_is_an_emergency_or_stop() -> None:
    for words in ("bladder changes", "saddle numbness", "weakness in both legs", "bowel problems"):
        assert any(alarm.stops for alarm in alarms(f"back pain, {words}")), words

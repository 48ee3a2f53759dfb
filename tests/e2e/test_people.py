"""People through the whole bot: kept, looked up, minded, taken back."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.e2e.contract import check_reply
from tests.people_talk import EVERY_COMMAND, EVERY_LINE, HEALTH, people_talk
from tests.talk import Replied, Talk, labels, same_line, too_wide
from tests.unit.bot.reading import read

VERDICTS = {"fine", "modify", "swap", "leave out", "ask first"}


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Talk]:
    """A conversation in which ANA, BO and their group dawn are known."""
    with people_talk(tmp_path) as talk:
        talk.all("client add ANA, level 1, chair 3", "client add BO", "group dawn add ANA, BO")
        yield talk


def said(reply: Replied) -> str:
    """Its text on one line."""
    return same_line(reply["text"])


def test_there_is_a_line_for_every_command() -> None:
    lines = [line for line in EVERY_LINE if "'" not in line]
    assert {type(read(line)) for line in lines} >= EVERY_COMMAND


@pytest.mark.parametrize("line", EVERY_LINE)
def test_every_reply_has_its_public_form_and_fits_a_phone(talk: Talk, line: str) -> None:
    talk.all("flag ANA left wrist marked", "plan 45 chair for dawn")
    for reply in talk.all(line):
        check_reply(reply)
        assert too_wide(reply) == []


def test_a_card_has_all_that_is_known(talk: Talk) -> None:
    talk.all(
        "client ANA: goal stronger back, reformer full half",
        "flag ANA left wrist marked since may, until review 1 mar, says physio",
        *(f"note ANA: note number {n}" for n in range(1, 6)),
        "consent ANA",
    )
    reply = talk.say("client ana")
    text = said(reply)
    assert text.startswith("ANA, level 1 In dawn. Usual springs: chair 3, reformer full+half.")
    assert "Goals: stronger back." in text
    assert "Wrist, left, marked, since 1 May 2026. Review 1 Mar 2027. Said by physio." in text
    assert "note number 5" in text
    assert "note number 3" in text
    assert "note number 2" not in text
    assert "ANA agreed on 25 Nov 2026" in text
    assert text.endswith(HEALTH)
    card = reply["data"]["client"]
    assert card["springs"] == {"chair": "3", "reformer": "full+half"}
    assert card["goals"] == ["stronger back"]
    assert card["flags"][0] | {"words": ""} == {
        "n": 1, "condition": "wrist", "name": "Wrist", "side": "left", "severity": "marked",
        "since": "2026-05-01", "review": "2027-03-01", "review_due": False, "said_by": "physio",
        "due": None, "event": None, "details": [], "words": "", "answered": None,
        "answered_by": "",
    }  # fmt: skip
    assert card["consent"] == "2026-11-25"


def test_a_slip_is_forgiven_in_a_look_up_and_said(talk: Talk) -> None:
    talk.say("client add MARTHA")
    reply = talk.say("client martah")
    assert reply["data"]["client"]["name"] == "MARTHA"
    assert "I read “martah” as MARTHA." in said(reply)


def test_of_two_close_names_none_is_guessed(talk: Talk) -> None:
    talk.all("client add MARTHA", "client add MARTA")
    for line in ("client martaa", "mods marthe pike chair", "flags martho"):
        reply = talk.say(line)
        assert reply["data"]["error"] == "Who"
        assert {"MARTA", "MARTHA"} <= set(labels(reply))


@pytest.mark.parametrize(
    "line",
    [
        "note {}: slept well",
        "flag {} left wrist",
        "unflag {} 1",
        "answered {} 1 by physio",
        "erase {}",
        "erase {} for good",
        "consent {}",
        "client {}: level 2",
        "group dawn add {}",
        "group dawn remove {}",
        "screen {}",
        "export {}",
    ],
)
def test_what_is_done_to_somebody_needs_the_name_or_a_tap(talk: Talk, line: str) -> None:
    talk.say("client add MARTHA")
    before = talk.say("client MARTHA")["text"]
    reply = talk.say(line.format("martah"))
    assert reply["data"]["error"] == "Who"
    assert labels(reply) == ["MARTHA"]
    assert "MARTHA" in reply["buttons"][0]["line"]
    assert talk.say("client MARTHA")["text"] == before
    assert talk.say("client add QUITE UNKNOWN")["data"]["client"]
    nobody = talk.say(line.format("zzyzx"))
    assert nobody["data"]["error"] == "Who"
    assert nobody["buttons"] == []


def test_a_tap_keeps_what_was_typed_for_the_name_that_was_meant(talk: Talk) -> None:
    talk.say("client add MARTHA")
    talk.say("note martah: slept well")
    assert "Noted for MARTHA" in said(talk.say("@tap MARTHA"))
    assert talk.say("client MARTHA")["data"]["client"]["notes"][0]["text"] == "slept well"


def test_full_names_are_taken_and_a_nickname_is_suggested(talk: Talk) -> None:
    assert "nickname or initials" in said(talk.say("client add Vera Moss"))
    assert "nickname" not in said(talk.say("client add VM"))
    assert talk.say("client add vera MOSS")["data"]["error"] == "Refused"
    assert talk.say(f"client add {'x' * 41}")["data"]["error"] == "Refused"


def test_several_conditions_are_several_flags(talk: Talk) -> None:
    reply = talk.say("flag ANA glaucoma and left knee mild")
    assert [f["condition"] for f in reply["data"]["flags"]] == ["glaucoma", "knee"]
    assert reply["data"]["kept"] == [1, 2]
    talk.say("undo")
    assert talk.say("flags ANA")["data"]["flags"] == []


def test_what_a_flag_lacks_is_asked_and_a_tap_answers(talk: Talk) -> None:
    reply = talk.say("flag ANA wrist")
    assert {"left", "right", "both", "mild", "marked", "acute"} <= set(labels(reply))
    talk.say("@tap left")
    talk.all("flag ANA 1 wrist: mild", "flag ANA 1: since may, says physio")
    (flag,) = talk.say("flags ANA")["data"]["flags"]
    assert (flag["side"], flag["severity"]) == ("left", "mild")
    assert (flag["since"], flag["said_by"]) == ("2026-05-01", "physio")
    assert "20 weeks" in labels(talk.say("flag BO pregnant"))
    assert talk.say("@tap 20 weeks")["data"]["flags"][0]["due"] == "2027-04-14"
    assert "posterior" in labels(talk.say("flag BO left hip replacement 6 weeks ago, marked"))
    assert talk.say("@tap posterior")["data"]["flags"][1]["details"] == ["posterior"]


def test_an_old_button_never_touches_another_flag(talk: Talk) -> None:
    talk.all("flag ANA left wrist mild", "flag ANA right knee mild", "unflag ANA 1")
    reply = talk.say("flag ANA 1 wrist: acute")
    assert reply["data"]["error"] == "NoSuchFlag"
    assert talk.say("flags ANA")["data"]["flags"][0]["severity"] == "mild"


@pytest.mark.parametrize("words", ["blorbitis", "left knee mild and blorbitis", "zzz qqq"])
def test_unknown_words_are_a_question_and_never_fine(talk: Talk, words: str) -> None:
    reply = talk.say(f"flag ANA {words}")
    assert "I don't know “" in said(reply)
    assert "unknown" in [f["condition"] for f in reply["data"]["flags"]]
    (verdict,) = talk.say("mods ANA pelvic tilt mat")["data"]["verdicts"]
    assert verdict["verdict"] == "ask first"
    number = len(reply["data"]["flags"])
    talk.say(f"flag ANA {number}: is right ankle mild")
    assert "unknown" not in [f["condition"] for f in talk.say("flags ANA")["data"]["flags"]]


def test_words_that_fit_several_conditions_are_offered(talk: Talk) -> None:
    reply = talk.say("flag ANA something with her arthritis of somewhere")
    assert reply["data"]["flags"]
    assert said(reply).endswith(HEALTH)


def test_a_denial_is_no_flag(talk: Talk) -> None:
    reply = talk.say("flag ANA no knee pain")
    assert reply["data"]["flags"] == []
    assert "nothing is kept" in said(reply)


def test_a_clinicians_answer_is_kept_with_its_day(talk: Talk) -> None:
    talk.say("flag ANA glaucoma")
    reply = talk.say("answered ANA glaucoma by eye doctor")
    assert "eye doctor has answered about Glaucoma, 25 Nov 2026" in said(reply)
    (flag,) = reply["data"]["flags"]
    assert (flag["answered"], flag["answered_by"]) == ("2026-11-25", "eye doctor")
    assert "cleared" not in said(reply).casefold()
    for line in ("answered ANA 7 by physio", "answered ANA wrist by physio", "unflag ANA hip"):
        assert talk.say(line)["data"]["error"] == "NoSuchFlag"


def test_a_lapsed_review_is_asked_about_and_lifts_nothing(talk: Talk) -> None:
    talk.all("flag ANA left wrist marked, until review 1 dec", "plan 45 chair for dawn")
    before = talk.say("mods ANA pike chair")["data"]["verdicts"]
    talk.all("@now 2026-12-20T10:00")
    card = talk.say("client ANA")
    assert "its review was due 1 Dec 2026" in said(card)
    assert card["data"]["client"]["reviews"] == [1]
    assert talk.say("mods ANA pike chair")["data"]["verdicts"] == before
    assert "its review was due" in said(talk.say("mods"))
    talk.say("client ANA")
    assert talk.say("@tap 1 still there")["data"]["flags"][0]["review"] == "2027-03-20"
    assert talk.say("client ANA")["data"]["client"]["reviews"] == []


def test_groups_are_made_changed_and_listed(talk: Talk) -> None:
    assert talk.say("group dawn")["data"]["group"] == {"name": "dawn", "members": ["ANA", "BO"]}
    assert "no longer in dawn" in said(talk.say("group dawn remove BO"))
    assert "not in dawn" in said(talk.say("group dawn remove BO"))
    assert talk.say("group DAWN add bo")["data"]["group"]["members"] == ["ANA", "BO"]
    assert [g["name"] for g in talk.say("groups")["data"]["groups"]] == ["dawn"]
    assert talk.say("group dusk")["data"]["error"] == "NoSuchGroup"
    assert talk.say("group dusk add ANA, zzyzx")["data"]["error"] == "Who"
    assert talk.say("group dusk")["data"]["error"] == "NoSuchGroup"
    talk.say("group dawn drop")
    assert talk.say("group dawn")["data"]["error"] == "NoSuchGroup"
    assert "ANA" in said(talk.say("clients"))
    assert "the group dawn is as before" in said(talk.say("undo"))
    assert talk.say("group dawn")["data"]["group"]["members"] == ["ANA", "BO"]


def test_undo_takes_back_each_change_in_turn_and_classes_between(talk: Talk) -> None:
    talk.all("plan 45 chair", "note ANA: one", "drop 3", "flag ANA left wrist mild")
    assert talk.say("undo")["data"]["undone"] == {"what": "flags", "name": "ANA"}
    assert talk.say("undo")["data"]["plan"]["id"] == 1
    assert talk.say("undo")["data"]["undone"] == {"what": "note", "name": "ANA"}
    assert [talk.say("undo")["data"]["undone"]["what"] for _ in range(3)] == [
        "group",
        "client added",
        "client added",
    ]
    assert talk.say("undo")["data"]["error"] == "NothingToUndo"
    assert talk.say("clients")["data"]["clients"] == []
    assert talk.say("redo")["data"]["plan"]["id"] == 2


def test_mods_of_one_movement_field_by_field(talk: Talk) -> None:
    talk.say("flag ANA left wrist marked")
    (verdict,) = talk.say("mods ANA pike chair")["data"]["verdicts"]
    assert (verdict["client"], verdict["exercise"]) == ("ANA", "chair-pike")
    assert verdict["verdict"] in VERDICTS - {"fine"}
    assert isinstance(verdict["modifications"], list)
    assert verdict["swap"] is None or isinstance(verdict["swap"], str)
    assert verdict["reasons"]
    assert all(isinstance(reason, str) for reason in verdict["reasons"])
    assert verdict["sources"]
    (fine,) = talk.say("mods BO pike chair")["data"]["verdicts"]
    assert (fine["verdict"], fine["reasons"], fine["sources"]) == ("fine", [], [])
    assert (fine["modifications"], fine["swap"]) == ([], None)


def test_mods_of_a_class_name_who_needs_something_and_who_needs_nothing(talk: Talk) -> None:
    talk.all("plan 45 chair tue 18:00 for dawn", "flag ANA left wrist marked")
    for line in ("mods", "mods tue", "mods dawn", "mods #1"):
        reply = talk.say(line)
        assert "Nothing to change, as far as I have been told: BO." in said(reply)
        assert said(reply).endswith(HEALTH)
        found = reply["data"]["verdicts"]
        assert {v["verdict"] for v in found} <= VERDICTS
        needing = [v for v in found if v["verdict"] != "fine"]
        assert {v["client"] for v in needing} == {"ANA"}
        assert "Source:" in reply["text"]
        assert "Re-fit the class" in labels(reply)
    assert talk.say("mods ANA")["data"]["people"] == ["ANA"]
    assert talk.say("mods wed")["data"]["error"] == "NoClassOn"
    talk.say("plan 45 chair")
    assert "I know of nobody in this class" in said(talk.say("mods"))


def test_what_somebody_says_at_the_door_is_for_today(talk: Talk) -> None:
    plan = talk.plan("plan 45 chair for dawn")
    reply = talk.say("ANA's wrist is bad today")
    assert reply["data"]["flags"][0]["condition"] == "wrist"
    assert reply["data"]["flags"][0]["review"] == "2026-11-26"
    assert reply["data"]["plan_id"] == plan["id"]
    assert "The class itself is not changed" in said(reply) or "nothing more changes" in said(reply)
    assert {"left", "right", "both"} <= set(labels(reply))
    assert talk.plan("show")["id"] == plan["id"]
    assert "Whom is that about?" in said(talk.say("anna's knee is bad today"))
    assert labels(talk.say("anna's knee is bad today")) == ["ANA"]
    assert talk.say("zzyzx's knee is bad today")["data"]["error"] == "UnknownCommand"
    offered = talk.say("BO pregnant 24 weeks")
    assert talk.say("flags BO")["data"]["flags"] == []
    assert labels(offered) == ["Mind it in classes", "Keep it as a note"]


def test_mods_are_of_the_next_class_and_the_others_are_a_tap_away(talk: Talk) -> None:
    talk.all(
        "client add ANA", "flag ANA left wrist marked", "group dawn add ANA",
        "plan 45 chair thu 18:00 for dawn", "plan 30 chair tue 9:00 for dawn",
        "plan 30 mat tue 18:00 for dawn", "plan 45 mat 5 jan 9:00 for dawn",
    )  # fmt: skip
    nearest = talk.say("mods")
    assert nearest["data"]["plan_id"] == 1
    assert {"Tue 1 Dec 09:00", "Tue 5 Jan 2027 09:00"} <= set(labels(nearest))
    assert talk.say("@tap Tue 5 Jan 2027 09:00")["data"]["plan_id"] == 4
    tuesday = talk.say("mods tue")
    assert tuesday["data"]["plan_id"] == 3
    assert "Tue 1 Dec 09:00" in labels(tuesday)
    assert talk.say("@tap Tue 1 Dec 09:00")["data"]["plan_id"] == 2
    talk.all("@now 2026-11-26T18:29")
    assert talk.say("mods")["data"]["plan_id"] == 1
    talk.all("@now 2026-11-26T18:31")
    assert talk.say("mods")["data"]["plan_id"] == 3 - 1
    assert talk.say("mods sat")["data"]["error"] == "NoClassOn"
    undated = talk.plan("plan 30 chair for dawn")["id"]
    assert talk.say("mods")["data"]["plan_id"] == undated


def test_two_flags_of_one_rule_name_their_reason_once(talk: Talk) -> None:
    talk.all(
        "client add ANA", "flag ANA left wrist marked", "flag ANA right wrist marked",
        "plan 45 chair for ANA",
    )  # fmt: skip
    said = talk.say("mods")["text"]
    assert "(1, 1" not in same_line(said)


def test_the_side_of_a_flag_is_said_and_makes_nothing_milder(talk: Talk) -> None:
    talk.all("flag BO wrist marked", "flag ANA left wrist marked", "flag ANA right knee mild")
    sided, plain = (talk.say(f"mods {name} pike chair") for name in ("ANA", "BO"))
    assert said(sided).startswith("ANA (left wrist), Pike on the chair:")
    assert said(plain).startswith("BO, Pike on the chair:")
    (one,), (other,) = sided["data"]["verdicts"], plain["data"]["verdicts"]
    assert one["sides"] == [{"condition": "wrist", "side": "left"}]
    assert other["sides"] == []
    assert one["verdict"] == other["verdict"] == "modify"
    assert one["modifications"] == other["modifications"]

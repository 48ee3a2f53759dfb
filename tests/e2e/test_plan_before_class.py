"""A class that comes into the diary after its plan: the plan is found for it."""

from tests.talk import Talk

DAWN = ("client add ANA", "flag ANA left wrist marked", "group dawn add ANA")


def test_a_plan_made_first_belongs_to_the_lesson_at_its_time() -> None:
    talk = Talk()
    for line in DAWN:
        talk.say(line)
    number = talk.say("plan 50 chair tue 18:00 for dawn")["data"]["plan"]["id"]
    kept = talk.say("class tue 18:00 weekly 50 chair dawn")
    assert kept["data"]["class"]["next"]["plan"] == number
    assert [b["line"] for b in kept["buttons"]] == [f"show #{number}", "undo"]
    for line in ("mods", "mods tue"):
        said = talk.say(line)["data"]
        assert said["plan_id"] == number
        assert {v["name"] for v in said["verdicts"]}


def test_a_plan_beside_the_diary_is_a_tap_away() -> None:
    talk = Talk()
    for line in DAWN:
        talk.say(line)
    other = talk.say("plan 30 mat tue 9:00 for dawn")["data"]["plan"]["id"]
    talk.say("class tue 18:00 weekly 50 chair dawn")
    assert f"mods #{other}" in [b["line"] for b in talk.say("mods tue")["buttons"]]

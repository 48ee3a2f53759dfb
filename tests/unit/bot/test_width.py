"""Everything said fits a phone: no line of a reply is wider than 38 characters."""

from itertools import product

import pytest

from bot.wording import exercises, plans
from core.exercise import Exercise, Phase
from core.plan import Item, Step
from core.repertoire import shipped
from tests.talk import WIDEST, Talk, too_wide


def widest_lines(e: Exercise) -> list[str]:
    """Its line in a plan at its widest, with each of its springs."""
    on = shipped().apparatus[e.apparatus]
    springs = e.springs
    settings = (
        {springs.usual, springs.easier, springs.harder, springs.limit}
        if springs
        else {on.parse("none")}
    )
    return [
        plans.line(Item(40, Step(e, Phase.PEAK, setting, e.reps.high, sets), 3599, 0, 0, 0), on)
        for setting, sets in product(settings, (1, 2))
    ]


@pytest.mark.parametrize("on", sorted(shipped().by_apparatus))
def test_an_exercise_has_one_line_in_a_plan(on: str) -> None:
    of_it = [e for e in shipped().exercises.values() if e.apparatus == on]
    lines = [line for e in of_it for line in widest_lines(e)]
    assert [line for line in lines if len(line) > WIDEST or "\n" in line] == []


def test_every_exercise_fits_by_itself() -> None:
    for e in shipped().exercises.values():
        for part in exercises.alone(e, shipped()):
            assert [line for line in part.text.splitlines() if len(line) > WIDEST] == []


@pytest.fixture(scope="module")
def talk() -> Talk:
    """A conversation with a plan in it."""
    talk = Talk()
    talk.plan("plan 45 mat focus glutes no wrists")
    return talk


LINES = (
    "plan 45 chair mat focus glutes inner thighs no wrists or knees 6 people for dawn tue 18:00",
    f"plan 50 chair for {'x' * 40}",
    "show",
    "why",
    *(f"{word} {n}" for word in ("show", "why") for n in range(1, 15)),
    "help",
    "start",
    "zone Europe/Lisbon",
    "zone America/Argentina/Buenos_Aires",
    "zone nowhere-at-all-and-then-some-more-of-it",
    "usual 45 mat",
    "plan",
    "plan chair banana",
    f"plan {'x' * 900}",
    "x" * 900,
    "x" * 10_000,
    "🙂" * 100,
    "",
    "plan 45 50 chair",
    "plan 500 chair",
    "plan 50 chair 31 feb 18:00",
    "plan 15 tower no planks no flexion no extension no rotation no side bend",
    "plan 50 chair no pike with pike",
    "show 99",
    "show #99",
    "exercise mermaid",
    f"exercise {'x' * 500}",
    "exercise pike chair",
    "save as the long name of a class that somebody keeps",
    "copy as the long name of another that somebody keeps",
    "find kneeling rotation chair",
    "ladder teaser mat",
    "swap ideas pike chair no wrists",
    "apparatus",
    "springs reformer full half",
    "@what is this line about then, I wonder",
    "@tap 9",
)


@pytest.mark.parametrize("line", LINES, ids=[line[:40] for line in LINES])
def test_no_reply_has_a_line_too_wide(talk: Talk, line: str) -> None:
    for reply in talk.all(line):
        assert too_wide(reply) == []


def test_help_on_each_command_fits(talk: Talk) -> None:
    for name in talk.say("help")["data"]["help"]:
        assert too_wide(talk.say(f"help {name}")) == []

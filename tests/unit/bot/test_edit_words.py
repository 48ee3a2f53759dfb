"""Typed edits -> wishes, every word of them understood."""

import pytest

from bot.commands import EditPlan, Undo, Wish
from bot.errors import MissingWordError, OutOfRangeError, UnknownWordError
from bot.grammar.edit_words import EXAMPLES, edit
from core.names import index_of
from core.repertoire import shipped
from tests.unit.bot.reading import read, refusal

ONE: list[tuple[str, Wish]] = [
    ("drop 7", Wish("drop", 7)),
    ("/drop 7", Wish("drop", 7)),
    ("DROP 7", Wish("drop", 7)),
    ("drop number 7", Wish("drop", 7)),
    ("remove 7", Wish("drop", 7)),
    ("delete no 7", Wish("drop", 7)),
    ("skip 7", Wish("drop", 7)),
    ("drpo 7", Wish("drop", 7)),
    ("swap 7", Wish("swap", 7)),
    ("swap 7 mermaid", Wish("swap", 7, typed="mermaid")),
    ("swap 7 with mermaid", Wish("swap", 7, typed="mermaid")),
    ("swap 7 for the mermaid", Wish("swap", 7, typed="the mermaid")),
    ("replace 7 by side bend", Wish("swap", 7, typed="side bend")),
    ("change 7 mermaid", Wish("swap", 7, typed="mermaid")),
    ("add swan", Wish("add", typed="swan")),
    ("add swan after 9", Wish("add", other=9, typed="swan")),
    ("add swan before 9", Wish("add", other=8, typed="swan")),
    ("add swan before 1", Wish("add", other=0, typed="swan")),
    ("put kneeling swan after number 9", Wish("add", other=9, typed="kneeling swan")),
    ("insert swan after 12", Wish("add", other=12, typed="swan")),
    ("move 9 to 4", Wish("move", 9, 4)),
    ("move 9 4", Wish("move", 9, 4)),
    ("move 9 before 4", Wish("move", 9, 4)),
    ("move number 9 to number 4", Wish("move", 9, 4)),
    ("reps 7 8", Wish("reps", 7, 8)),
    ("repetitions 7 8", Wish("reps", 7, 8)),
    ("springs 7 3+2", Wish("springs", 7, typed="3+2")),
    ("springs 7 full half", Wish("springs", 7, typed="full half")),
    ("springs 7 none", Wish("springs", 7, typed="none")),
    ("easier 7", Wish("easier", 7)),
    ("harder 7", Wish("harder", 7)),
    ("keep 7", Wish("keep", 7)),
    ("lock 7", Wish("keep", 7)),
    ("unkeep 7", Wish("unkeep", 7)),
    ("unlock 7", Wish("unkeep", 7)),
    ("fit 40", Wish("fit", 40)),
    ("fit into 40 min", Wish("fit", 40)),
    ("fit to 40 minutes", Wish("fit", 40)),
    ("late 10", Wish("late", 10)),
    ("late by 10 minutes", Wish("late", 10)),
    ("late 10 min", Wish("late", 10)),
]
SEVERAL: list[tuple[str, list[str]]] = [
    ("drop 4, swap 7 mermaid, fit 45", ["drop", "swap", "fit"]),
    ("drop 4; swap 7; keep 9", ["drop", "swap", "keep"]),
    ("drop 4 and drop 5", ["drop", "drop"]),
    ("drop 4 then late 10", ["drop", "late"]),
    ("drop 4,drop 5,drop 6", ["drop", "drop", "drop"]),
    ("drop 4, and keep 9", ["drop", "keep"]),
    ("add side bend, twist after 9, drop 3", ["add", "drop"]),
    ("swap 7 side lift and twist, reps 8 6", ["swap", "reps"]),
]


@pytest.mark.parametrize(("line", "wish"), ONE, ids=[line for line, _ in ONE])
def test_a_wish_is_read(line: str, wish: Wish) -> None:
    command = read(line)
    assert isinstance(command, EditPlan)
    assert command.wishes == (wish,)
    assert command.plan is None


@pytest.mark.parametrize(("line", "verbs"), SEVERAL, ids=[line for line, _ in SEVERAL])
def test_several_wishes_are_one_command(line: str, verbs: list[str]) -> None:
    command = read(line)
    assert isinstance(command, EditPlan)
    assert [wish.verb for wish in command.wishes] == verbs


def test_a_plan_may_be_named() -> None:
    for line in ("drop 7 #12", "swap 7 mermaid #12", "drop 4, swap 7 #12", "late 10 #12"):
        command = read(line)
        assert isinstance(command, EditPlan)
        assert command.plan == 12
        assert "#" not in command.wishes[-1].typed


def test_every_example_is_read_as_its_own_verb() -> None:
    for verb, example in EXAMPLES.items():
        (wish,) = edit(example).wishes
        assert wish.verb == verb


def test_every_exercise_can_be_named_in_a_wish() -> None:
    names = index_of(shipped())
    for e in list(shipped().exercises.values())[::3]:
        for line, at in (
            (f"swap 7 {e.name}", 0),
            (f"add {e.name} after 9", 0),
            (f"drop 4, swap 7 {e.name} and fit 45", 1),
        ):
            wishes = edit(line).wishes
            assert len(wishes) == 1 + 2 * at, line
            assert names.find(wishes[at].typed, [e.apparatus]).sure is e, line


@pytest.mark.parametrize(
    "line",
    ["drop", "move 9", "move", "reps 7", "springs 7", "add", "late", "fit", "keep", "easier"],
)
def test_what_is_missing_is_asked_for(line: str) -> None:
    fault = read_fault(line)
    assert isinstance(fault, MissingWordError)
    assert fault.example


def read_fault(line: str) -> Exception:
    """What an unfinished wish is answered with."""
    with pytest.raises((MissingWordError, UnknownWordError)) as error:
        edit(line)
    return error.value


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("drop seven", "seven"),
        ("drop 7 8", "8"),
        ("drop 7 please", "please"),
        ("move 9 to the front", "the"),
        ("reps 7 eight", "eight"),
        ("keep 7 forever", "forever"),
        ("drop -3", "-3"),
        ("drop 4, banana 7", "4,"),
    ],
)
def test_a_word_that_is_not_understood_is_said(line: str, word: str) -> None:
    assert refusal(line, UnknownWordError).word.strip(",") in (word.strip(","), "banana")


@pytest.mark.parametrize("line", ["fit 5", "fit 500", "late 0", "late 99"])
def test_minutes_have_limits(line: str) -> None:
    assert refusal(line, OutOfRangeError).unit == "minutes"


def test_undo_and_redo() -> None:
    assert read("undo") == Undo()
    assert read("redo") == Undo(forward=True)
    assert refusal("undo everything", UnknownWordError).word == "everything"


def test_to_insist_is_no_part_of_a_wish() -> None:
    command = read("swap 7 mermaid insist")
    assert isinstance(command, EditPlan)
    assert command.insist
    assert command.wishes == (Wish("swap", 7, typed="mermaid"),)
    assert command.line == "swap 7 mermaid"

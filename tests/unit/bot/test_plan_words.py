"""Typed lines -> what the class is to be, word for word."""

from itertools import permutations

import pytest

from bot.commands import MakePlan
from bot.errors import (
    MissingWordError,
    OutOfRangeError,
    TooLongError,
    TwiceError,
    UnknownWordError,
)
from core.exercise import ExerciseId
from core.repertoire import shipped
from tests.unit.bot.reading import at, read, refusal, wishes

CHAIR_50 = {"minutes": 50, "apparatus": "chair"}
MAT_45 = {"minutes": 45, "apparatus": "mat"}

READ: list[tuple[str, dict[str, object]]] = [
    ("plan 50 chair", CHAIR_50),
    ("/plan 50 chair", CHAIR_50),
    ("/plan@some_bot 50 chair", CHAIR_50),
    ("PLAN 50 CHAIR", CHAIR_50),
    ("  plan,  50;chair! ", CHAIR_50),
    ("50 chair", CHAIR_50),
    ("chair 50", CHAIR_50),
    ("class 50 chair", CHAIR_50),
    ("a 50 min chair class please", CHAIR_50),
    ("plan 50min chair", CHAIR_50),
    ("plan 50m chair", CHAIR_50),
    ("plan 50' chair", CHAIR_50),
    ("plan 50 minutes on the chair", CHAIR_50),
    ("plan fifty chair", CHAIR_50),
    ("plan 50 chairs", CHAIR_50),
    ("plan 50 chair chair", CHAIR_50),
    ("plan 50 50 chair", CHAIR_50),
    ("plan ５０ chair", CHAIR_50),
    ("plan for 50 chair", CHAIR_50),
    ("plan 50 for chair", CHAIR_50),
    ("plan for 50 min chair", CHAIR_50),
    ("plan - 50 - chair", CHAIR_50),
    ("plan an hour chair", {"minutes": 60, "apparatus": "chair"}),
    ("plan for an hour chair", {"minutes": 60, "apparatus": "chair"}),
    ("plan 1h chair", {"minutes": 60, "apparatus": "chair"}),
    ("plan 1 hour chair", {"minutes": 60, "apparatus": "chair"}),
    ("plan 2 hours chair", {"minutes": 120, "apparatus": "chair"}),
    ("plan 1h30 chair", {"minutes": 90, "apparatus": "chair"}),
    ("plan 1.5h chair", {"minutes": 90, "apparatus": "chair"}),
    ("plan 1.5 hours chair", {"minutes": 90, "apparatus": "chair"}),
    ("plan 15 chair", {"minutes": 15, "apparatus": "chair"}),
    ("plan 120 chair", {"minutes": 120, "apparatus": "chair"}),
    ("plan", {}),
    ("plan 50", {"minutes": 50}),
    ("plan chair", {"apparatus": "chair"}),
    ("plan 50 chair mat", {"minutes": 50, "apparatus": "chair mat"}),
    ("plan 50 chair and mat", {"minutes": 50, "apparatus": "chair mat"}),
    ("plan 50 chair & mat", {"minutes": 50, "apparatus": "chair mat"}),
    ("plan 50 chair + mat", {"minutes": 50, "apparatus": "chair mat"}),
    ("plan 50 chair with mat", {"minutes": 50, "apparatus": "chair mat"}),
    ("plan 50 both", {"minutes": 50, "apparatus": "chair mat"}),
    ("plan 50 reformer tower", {"minutes": 50, "apparatus": "reformer tower"}),
    # level
    ("plan 45 mat level 2", {**MAT_45, "level": 2}),
    ("plan 45 mat level two", {**MAT_45, "level": 2}),
    ("plan 45 mat lvl 3", {**MAT_45, "level": 3}),
    ("plan 45 mat l1", {**MAT_45, "level": 1}),
    ("plan 45 mat level2", {**MAT_45, "level": 2}),
    ("plan 45 mat beginners", {**MAT_45, "level": 1}),
    ("plan 45 mat for beginners", {**MAT_45, "level": 1}),
    ("plan 45 mat advanced", {**MAT_45, "level": 3}),
    ("plan 45 mat mixed", {**MAT_45, "level": "mixed"}),
    ("plan 45 mat level mixed", {**MAT_45, "level": "mixed"}),
    ("plan 45 mat level 2 intermediate", {**MAT_45, "level": 2}),
    # focus and what to do without
    ("plan 45 mat focus glutes", {**MAT_45, "focus": ["glutes"]}),
    ("plan 45 mat focus on abs", {**MAT_45, "focus": ["abdominals"]}),
    ("plan 45 mat focus glutes and legs", {**MAT_45, "focus": ["glutes", "legs"]}),
    ("plan 45 mat focus glutes, inner thighs", {**MAT_45, "focus": ["glutes", "inner thighs"]}),
    ("plan focus glutes mat 45", {**MAT_45, "focus": ["glutes"]}),
    ("plan 45 mat focus seat", {**MAT_45, "focus": ["glutes"]}),
    ("plan 45 mat focus glutes focus bum", {**MAT_45, "focus": ["glutes"]}),
    ("plan 45 mat no wrists", {**MAT_45, "without": ["wrists"]}),
    ("plan 45 mat no weight on wrists", {**MAT_45, "without": ["wrists"]}),
    ("no wrists plan 45 mat", {**MAT_45, "without": ["wrists"]}),
    ("plan 45 mat no wrists or knees", {**MAT_45, "without": ["wrists", "knees"]}),
    ("plan 45 mat without side-lying", {**MAT_45, "without": ["side lying"]}),
    ("plan 45 mat avoid twists", {**MAT_45, "without": ["rotation"]}),
    ("plan no prone mat 45", {**MAT_45, "without": ["prone"]}),
    (
        "plan 45 mat focus glutes legs no wrists no knees",
        {**MAT_45, "focus": ["glutes", "legs"], "without": ["wrists", "knees"]},
    ),
    # what has to be there
    ("plan 50 chair with mermaid", {**CHAIR_50, "must": ("chair-mermaid",)}),
    ("plan 50 with mermaid chair", {**CHAIR_50, "must": ("chair-mermaid",)}),
    ("plan with mermaid chair 50", {**CHAIR_50, "must": ("chair-mermaid",)}),
    ("plan chair with tendon stretch 50", {**CHAIR_50, "must": ("chair-tendon-stretch",)}),
    ("plan mat with single leg stretch 45", {**MAT_45, "must": ("mat-one-leg-stretch",)}),
    ("plan mat with single leg strech 45", {**MAT_45, "must": ("mat-one-leg-stretch",)}),
    (
        "plan 50 chair with mermaid and pike",
        {**CHAIR_50, "must": ("chair-mermaid", "chair-pike")},
    ),
    (
        "plan 50 chair with mermaid with pike no wrists",
        {**CHAIR_50, "must": ("chair-mermaid", "chair-pike"), "without": ["wrists"]},
    ),
    # people
    ("plan 50 chair private", {**CHAIR_50, "people": 1}),
    ("plan 50 chair 6 people", {**CHAIR_50, "people": 6}),
    ("plan 50 chair 6x", {**CHAIR_50, "people": 6}),
    ("plan 50 chair for 6 people", {**CHAIR_50, "people": 6}),
    ("plan 50 chair with 6 people", {**CHAIR_50, "people": 6}),
    ("plan 50 chair 12 clients", {**CHAIR_50, "people": 12}),
    # who
    ("plan 50 chair for dawn", {**CHAIR_50, "group": "dawn"}),
    ("plan for Dawn 50 chair", {**CHAIR_50, "group": "Dawn"}),
    ("plan 50 chair for the dawn group", {**CHAIR_50, "group": "dawn"}),
    ("plan 50 chair for my dawn group", {**CHAIR_50, "group": "dawn"}),
    ("plan 50 chair for “dawn”", {**CHAIR_50, "group": "dawn"}),
    ("plan 50 chair for June", {**CHAIR_50, "group": "June"}),
    ("plan 50 chair for group balance", {**CHAIR_50, "group": "balance"}),
    # all of it
    (
        "plan 45 mat tue 18:00 level 2 focus glutes no wrists for dawn",
        {
            **MAT_45,
            "level": 2,
            "focus": ["glutes"],
            "without": ["wrists"],
            "group": "dawn",
            "starts": at("2026-12-01 18:00"),
        },
    ),
]


@pytest.mark.parametrize(("line", "fields"), READ, ids=[line for line, _ in READ])
def test_what_a_line_asks_for(line: str, fields: dict[str, object]) -> None:
    assert wishes(line) == fields


def test_any_order_means_the_same() -> None:
    pieces = ("45", "mat", "tue 18:00", "focus glutes", "no wrists", "for dawn")
    for order in permutations(pieces):
        assert wishes("plan " + " ".join(order)) == {
            **MAT_45,
            "focus": ["glutes"],
            "without": ["wrists"],
            "group": "dawn",
            "starts": at("2026-12-01 18:00"),
        }


@pytest.mark.parametrize(
    ("line", "fields", "slip"),
    [
        ("plan 50 chiar", CHAIR_50, ("chiar", "chair")),
        ("plan 50 Refomer", {"minutes": 50, "apparatus": "reformer"}, ("Refomer", "reformer")),
        ("plan 45 mat begginers", {**MAT_45, "level": 1}, ("begginers", "beginners")),
        ("plan 45 mat focsu glutes", {**MAT_45, "focus": ["glutes"]}, ("focsu", "focus")),
        ("plan 45 mat focus gltues", {**MAT_45, "focus": ["glutes"]}, ("gltues", "glutes")),
        ("plan 45 mat no wirsts", {**MAT_45, "without": ["wrists"]}, ("wirsts", "wrists")),
    ],
)
def test_a_slip_of_the_finger_is_read_and_noted(
    line: str, fields: dict[str, object], slip: tuple[str, str]
) -> None:
    assert wishes(line) == {**fields, "read_as": (slip,)}


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("plan 50 chair banana", "banana"),
        ("plan banana", "banana"),
        ("plan 50 spaceship", "spaceship"),
        ("plan 50 chair level 4", "level 4"),
        ("plan 50 chair level -2", "level -2"),
        ("plan 50 chair level 🙂", "level 🙂"),
        ("plan 50 chair focus banana", "banana"),
        ("plan 50 chair focus glutes -legs", "-legs"),
        ("plan 50 chair no zzz", "zzz"),
        ("plan 50 chair no chair", "no chair"),
        ("plan 50 chair with zzz", "zzz"),
        ("plan 50 chair glutes", "glutes"),
        ("plan 50 chair wrists", "wrists"),
        ("plan 50 chair for glutes", "glutes"),
        ("plan 50 chair for 🌅", "🌅"),
        ("plan 50 chair for dawn patrol", "patrol"),
        ("plan 50 chair 🙂", "🙂"),
        ("plan 🙂 50 chair", "🙂"),
        ("plan 50 chair ²", "²"),
        ("plan 50 chair/mat", "chair/mat"),
        ("plan 45-50 chair", "45-50"),
        ("plan 50 chair six people", "six"),
        ("plan 50 <b>chair</b>", "<b>chair</b>"),
        ("plan 50 chair; DROP TABLE plans", "DROP"),
        ("50chair", "50chair"),
        ("50 chair banana", "banana"),
        ("chair banana", "banana"),
    ],
)
def test_a_word_without_meaning_is_named(line: str, word: str) -> None:
    assert refusal(line, UnknownWordError).word == word


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("plan 50 cheer", "plan 50 chair"),
        ("plan 50 chair glutes", "plan 50 chair focus glutes"),
        ("plan 50 chair glutes", "plan 50 chair no glutes"),
        ("plan 50 chair wrists", "plan 50 chair no wrists"),
        ("plan 50 chair level 4", "plan 50 chair level 3"),
        ("plan 50 zzzz", "plan 50 chair"),
        ("plan 50 with mermaid", "plan 50 with Mermaid on the chair"),
    ],
)
def test_the_nearest_meanings_are_offered_as_whole_lines(line: str, offered: str) -> None:
    assert offered in [guess.line for guess in refusal(line, UnknownWordError).guesses]


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("plan 45 50 chair", "minutes"),
        ("plan 1h 50 chair", "minutes"),
        ("plan 50 chair level 1 level 2", "level"),
        ("plan 50 chair mixed level 2", "level"),
        ("plan 50 chair private 6 people", "people"),
        ("plan 50 chair for dawn for dusk", "group"),
        ("plan 50 chair 18:00 19:00", "time"),
        ("plan 50 chair tue wed 18:00", "day"),
        ("plan 50 chair thu 25 nov 18:00", "day"),
    ],
)
def test_two_values_are_not_chosen_between(line: str, what: str) -> None:
    assert refusal(line, TwiceError).what == what


@pytest.mark.parametrize(
    ("line", "value", "high"),
    [
        ("plan -5", "-5", 120),
        ("plan 500 chair", "500", 120),
        ("plan 14 chair", "14", 120),
        ("plan 121 chair", "121", 120),
        ("plan 0 chair", "0", 120),
        ("plan 50.5 chair", "50.5", 120),
        ("plan 3h chair", "180", 120),
        ("plan 2h30 chair", "150", 120),
        ("-5 chair", "-5", 120),
        ("plan 99999999999999999999 chair", "99999999999999999999", 120),
        ("plan 50 chair 0 people", "0", 12),
        ("plan 50 chair -3 people", "-3", 12),
        ("plan 50 chair 13 people", "13", 12),
        ("plan 50 chair for 6", "6", 120),
    ],
)
def test_a_number_out_of_range_is_refused(line: str, value: str, high: int) -> None:
    error = refusal(line, OutOfRangeError)
    assert (error.value, error.high) == (value, high)


@pytest.mark.parametrize("word", ["level", "focus", "no", "without", "with", "for", "for the"])
def test_a_word_that_wants_another_says_so(word: str) -> None:
    error = refusal(f"plan 50 chair {word}", MissingWordError)
    assert error.after == word.split(maxsplit=1)[0]
    read(f"plan 50 chair {error.example}")


def test_a_group_has_a_name_of_a_line_at_most() -> None:
    assert wishes(f"plan 50 chair for {'x' * 40}")["group"] == "x" * 40
    assert refusal(f"plan 50 chair for {'x' * 41}", TooLongError).length == 41


EXERCISES = [e for k, e in enumerate(shipped().exercises.values()) if k % 12 == 0]


@pytest.mark.parametrize("wanted", [e.id for e in EXERCISES])
def test_the_full_name_of_an_exercise_is_read_to_its_end(wanted: ExerciseId) -> None:
    e = shipped()[wanted]
    found = wishes(f"plan {e.apparatus} with {e.name} 50 no jumping")
    assert found["must"] == (wanted,)
    assert (found["minutes"], found["apparatus"]) == (50, e.apparatus)


@pytest.mark.parametrize(
    ("words", "without"),
    [
        ("no chest opening", ["chest opener"]),
        ("no knee stretch", ["knee stretch"]),
        ("no wrists, chest opening", ["wrists", "chest opener"]),
        ("no wrists and chest", ["wrists", "chest"]),
        ("no side bend", ["side bend"]),
        ("no hamstring stretch", ["hamstring stretch"]),
    ],
)
def test_a_movement_is_not_taken_for_the_part_its_name_begins_with(
    words: str, without: list[str]
) -> None:
    command = read(f"plan 45 barrel {words}")
    assert isinstance(command, MakePlan)
    assert [each.name for each in command.without] == without

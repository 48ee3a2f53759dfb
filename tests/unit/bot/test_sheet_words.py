"""What is typed for a run sheet, and the words that stand on it."""

import json
from dataclasses import replace

import pytest

from bot.commands import SendSheet
from bot.errors import UnknownWordError
from bot.wording.sheets import LONGEST_WORD, plain, sheet_form
from core.repertoire import shipped
from tests.sheets import big_form, small_form, small_library, small_sheet
from tests.unit.bot.reading import read


@pytest.mark.parametrize(
    ("line", "command"),
    [
        ("sheet", SendSheet()),
        ("/sheet", SendSheet()),
        ("sheet 4", SendSheet(4)),
        ("sheet #4", SendSheet(4)),
        ("sheet phone", SendSheet(None, "phone")),
        ("sheet picture #4", SendSheet(4, "picture")),
        ("sheet a4", SendSheet(None, "paper")),
        ("sheet for the phone", SendSheet(None, "phone")),
        ("Sheet of plan 4 as a picture", SendSheet(4, "picture")),
    ],
)
def test_a_sheet_is_asked_for(line: str, command: SendSheet) -> None:
    assert read(line) == command


@pytest.mark.parametrize("line", ["sheet blue", "sheet 4 5", "sheet phone picture", "sheet -1"])
def test_what_is_no_sheet_is_said_so(line: str) -> None:
    with pytest.raises(UnknownWordError):
        read(line)


def test_every_value_of_a_sheet_is_plain_json() -> None:
    form = big_form(20, 8)
    assert json.loads(json.dumps(form)) == form


def test_rows_carry_clock_springs_repetitions_and_who() -> None:
    rows = [row for section in small_form()["sections"] for row in section["rows"]]
    press = rows[2]
    assert (press["n"], press["springs"], press["reps"], press["change"]) == ("3", "3", "8×2", True)
    assert press["clock"].count(":") == 1
    assert press["options"] == ["▽ 2", "△ 4"]
    assert rows[0]["options"] == ["△ Mat bridge"]
    assert rows[0]["springs"] == ""
    assert rows[3]["under"] == "→ standing · set pedal split"
    assert rows[2]["under"].startswith("→ chair · → seated")


def test_the_room_is_said_in_the_order_it_is_needed() -> None:
    count = small_sheet().plan.brief.people
    assert small_form()["set_up"] == [
        f"{count} × mat",
        f"At 3: {count} × chair, springs 3, pedal joined",
        f"At 6: {count} × mat",
        "For each: ball (1)",
    ]


def test_the_minutes_of_the_arc_are_the_clock_on_the_wall_where_the_class_has_a_day() -> None:
    ticks = [tick["text"] for tick in small_form()["band"]["ticks"]]
    assert ticks[:3] == ["18:00", "18:05", "18:10"]
    assert ticks[-1] == "18:30"


def test_safety_acts_have_a_letter_in_the_row_and_their_sentence_below() -> None:
    form = big_form(20, 8)
    letters = {act["mark"]: act["text"] for act in form["safety"]}
    used = {c for section in form["sections"] for row in section["rows"] for c in row["acts"]}
    assert used == set(letters)
    assert set(letters.values()) <= set(shipped().acts.values())


def test_a_sheet_without_people_has_no_marks_for_them() -> None:
    form = big_form(14, 0)
    assert form["people"] == []
    assert "◆" not in json.dumps(form, ensure_ascii=False)


def test_a_sheet_without_springs_does_not_speak_of_them() -> None:
    sheet = small_sheet()
    library = small_library()
    mats = tuple(row for row in sheet.rows if not row.item.step.exercise.springs)
    plan = replace(sheet.plan, items=tuple(row.item for row in mats))
    form = sheet_form(replace(sheet, rows=mats, plan=plan), library)
    assert "springs" not in form["keys"].casefold()
    assert form["band"]["springs"] == []


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("  two   spaces ", "two spaces"),
        ("a\x00b\x1bc", "a b c"),
        ("\u202eevil\u202c", "evil"),
        ("line\nline", "line line"),
        ("نیم\u200cخط", "نیم\u200cخط"),
        ("x" * 9, "x" * 9),
    ],
)
def test_what_can_not_be_seen_is_left_out(typed: str, shown: str) -> None:
    assert plain(typed, 40) == shown


def test_a_long_word_can_be_broken_and_a_long_text_is_cut() -> None:
    assert plain("x" * 40, 200).split("\u200b") == ["x" * LONGEST_WORD] * 2 + ["x" * 8]
    assert plain("word " * 100, 20) == "word word word word…"

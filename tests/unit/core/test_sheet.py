"""What a run sheet has in its rows, for its people and for the room."""

from dataclasses import replace
from itertools import pairwise

from core.apparatus import SpringSetting
from core.caution import Kind
from core.client import Client, ClientId, Flag
from core.exercise import ExerciseId, Phase, Position
from core.repertoire import shipped
from core.sheet import Minding, run_sheet
from tests.sheets import (
    big_sheet,
    folk,
    minding,
    plan_of,
    small_library,
    small_plan,
    small_sheet,
)


def test_a_row_says_what_is_to_be_changed_before_it() -> None:
    rows = small_sheet().rows
    assert [row.moved for row in rows] == [False, False, True, False, False, True]
    # Mat, mat, chair on 3, 3, 4, mat: only one change of springs without a change of apparatus.
    assert [row.new_springs for row in rows] == [False, False, False, False, True, False]
    assert [row.new_position for row in rows] == [True, False, True, True, True, True]
    # The room is ready for the first state of each part; after that every change is said.
    assert [row.rig for row in rows] == [
        (), (), (), (("pedal", "split"),), (("pedal", "joined"),), (),
    ]  # fmt: skip


def test_stations_come_in_the_order_they_are_needed() -> None:
    stations = small_sheet().stations
    assert [(each.apparatus.name, each.place, str(each.springs)) for each in stations] == [
        ("mat", 1, "none"),
        ("chair", 3, "3"),
        ("mat", 6, "none"),
    ]
    assert stations[1].rig == (("pedal", "joined"),)
    assert {each.count for each in stations} == {small_plan().brief.people}


def test_two_share_one_where_an_apparatus_is_shared() -> None:
    library = small_library()
    plan = small_plan()
    plan = replace(plan, brief=replace(plan.brief, people=5))
    shared = {a: replace(each, share=2) for a, each in library.apparatus.items()}
    sheet = run_sheet(plan, replace(library, apparatus=shared))
    assert [each.count for each in sheet.stations] == [3, 3, 3]


def test_props_are_listed_with_their_places() -> None:
    assert small_sheet().props == (("ball", (1,)),)


def test_options_go_the_right_way_from_the_setting_in_use() -> None:
    sheet = small_sheet()
    press, pike = sheet.rows[2], sheet.rows[4]
    ways = {option.harder: str(option.springs) for option in press.options}
    assert ways == {False: "2", True: "4"}
    # The spring helps here, and 4 is in use already: nothing heavier, and lighter is harder.
    assert {option.harder: str(option.springs) for option in pike.options} == {True: "2"}


def test_a_setting_of_her_own_beyond_the_harder_one_has_no_harder() -> None:
    library, plan = small_library(), small_plan()
    heavy = SpringSetting(("4", "3"))
    items = list(plan.items)
    items[2] = replace(items[2], step=replace(items[2].step, springs=heavy))
    row = run_sheet(replace(plan, items=tuple(items)), library).rows[2]
    assert [(o.harder, str(o.springs)) for o in row.options] == [(False, "2")]


def test_another_rung_of_the_ladder_is_an_option() -> None:
    (option,) = small_sheet().rows[0].options
    assert option.harder
    assert option.springs is None
    assert option.exercise is not None
    assert option.exercise.id == "mat-bridge"


def test_her_own_cues_come_first() -> None:
    sheet = small_sheet({ExerciseId("chair-step"): ["Think of a lift door."]})
    assert sheet.rows[3].cues == (
        "Think of a lift door.", "Push the floor away.", "Grow tall at the top.",
    )  # fmt: skip


def test_every_change_a_person_needs_is_in_her_row_and_marked_in_the_class() -> None:
    sheet = big_sheet(20, 8)
    library_people = folk(8)
    for at, (client, person) in enumerate(zip(library_people, sheet.people, strict=True)):
        (found,) = minding([client], sheet.plan, shipped())
        wanted = {
            item.n
            for item, v in zip(sheet.plan.items, found.verdicts, strict=True)
            if v.kind is not Kind.FINE
        }
        said = [place for need in person.needs for place in need.places]
        assert sorted(said) == sorted(wanted)
        assert {row.item.n for row in sheet.rows if at in row.needing} == wanted
    assert any(person.needs for person in sheet.people)


def test_the_sheet_never_says_why() -> None:
    sheet = big_sheet(20, 8)
    conditions = {flag.condition for client in folk(8) for flag in client.flags}
    said = str([[need.changes for need in person.needs] for person in sheet.people]).casefold()
    assert not any(f"'{condition}" in said for condition in conditions)
    assert not hasattr(sheet.people[0], "flags")


def test_whoever_waits_for_a_clinician_has_no_changes_but_that() -> None:
    library = small_library()
    plan = small_plan()
    client = Client(ClientId(1), "ANA", flags=(Flag("serious", words="chest pain"),))
    (found,) = minding([client], plan, library)
    assert any(reason.binding for reason in found.always)
    (person,) = run_sheet(plan, library, [found]).people
    assert person.waits
    assert person.needs == ()


def test_parts_and_positions_follow_one_another_to_the_end() -> None:
    sheet = small_sheet()
    phases = sheet.phases()
    assert [phase for phase, _, _ in phases] == [
        Phase.WARM_UP, Phase.FOUNDATION, Phase.PEAK, Phase.COOL_DOWN,
    ]  # fmt: skip
    assert phases[0][1] == sheet.plan.opening_s
    assert all(a[2] == b[1] for a, b in pairwise(phases))
    assert phases[-1][2] == sheet.plan.items[-1].end_s
    assert [position for position, _, _ in sheet.positions()] == [
        Position.SUPINE,
        Position.SEATED_APPARATUS,
        Position.STANDING,
        Position.STANDING_APPARATUS,
        Position.SIDE_LYING,
    ]


def test_people_who_need_nothing_have_a_row_too() -> None:
    library = small_library()
    plan = plan_of(list(library.exercises.values()), small_plan().brief, library)
    nobody = Minding(folk(2)[1], minding([folk(2)[1]], plan, library)[0].verdicts)
    (person,) = run_sheet(plan, library, [nobody]).people
    assert (person.name, person.needs, person.waits) == ("BO", (), False)

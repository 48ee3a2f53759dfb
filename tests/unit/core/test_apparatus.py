"""Spring settings as they are typed, written and changed."""

import itertools
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.apparatus import BRIEF, Apparatus, ApparatusId, SpringSetting
from core.errors import SpringError
from core.repertoire import shipped
from tests.builders import CHAIR, MAT

REFORMER = shipped().apparatus[ApparatusId("reformer")]
TOWER = shipped().apparatus[ApparatusId("tower")]
SPRUNG = (CHAIR, REFORMER, TOWER)


def settings_of(apparatus: Apparatus, most: int = 3) -> list[SpringSetting]:
    """Every setting of up to `most` springs that the apparatus takes."""
    found = []
    for size in range(min(most, apparatus.most) + 1):
        for tokens in itertools.combinations_with_replacement(apparatus.tokens(), size):
            try:
                found.append(apparatus.set(tokens))
            except SpringError:
                continue
    return found


@pytest.mark.parametrize("typed", ["3+2", "2+3", "3 2", "3, 2", " 3 + 2 ", "2,3"])
def test_springs_are_typed_in_any_order_and_spelling(typed: str) -> None:
    assert CHAIR.parse(typed) == SpringSetting(("3", "2"))


@pytest.mark.parametrize("typed", ["full half", "half full", "full+half", "F H", "h+f", "Full, H"])
def test_kinds_of_spring_are_typed_in_full_or_short(typed: str) -> None:
    assert REFORMER.parse(typed).tokens == ("full", "half")


@pytest.mark.parametrize("typed", ["leg@high leg@high", "L@hi+L@hi", "leg@hi l@high"])
def test_a_kind_at_a_hook_is_typed_in_full_or_short(typed: str) -> None:
    assert TOWER.parse(typed).tokens == ("leg@high", "leg@high")


@pytest.mark.parametrize("typed", ["", "none", "0", "None", "  "])
def test_no_spring_is_a_setting(typed: str) -> None:
    for apparatus in (*SPRUNG, MAT):
        assert apparatus.parse(typed) == SpringSetting()


def test_heaviest_comes_first_whatever_the_kind() -> None:
    assert REFORMER.parse("quarter half full full").tokens == ("full", "full", "half", "quarter")
    assert TOWER.parse("arm@low bar@low leg@low").tokens == ("bar@low", "leg@low", "arm@low")


@pytest.mark.parametrize(
    ("apparatus", "typed", "sentence"),
    [
        (CHAIR, "5", "'5' is no spring of the chair: it has 1, 2, 3, 4"),
        (CHAIR, "full", "'full' is no spring of the chair: it has 1, 2, 3, 4"),
        (CHAIR, "3+2+1", "the chair has 2 springs, not 3"),
        (REFORMER, "half half", "the reformer has 1 half spring, not 2"),
        (REFORMER, "full@high", "'full@high' is no spring of the reformer: it has"),
        (TOWER, "leg", "'leg' is no spring of the tower: it has"),
        (TOWER, "leg@low leg@low arm@low arm@low bar@low", "takes 4 springs at once, not 5"),
        (MAT, "3", "the mat has no springs"),
    ],
)
def test_what_cannot_be_set_is_refused_with_what_can(
    apparatus: Apparatus, typed: str, sentence: str
) -> None:
    with pytest.raises(SpringError, match=re.escape(sentence)):
        apparatus.parse(typed)


@pytest.mark.parametrize("apparatus", SPRUNG)
def test_a_setting_reads_back_from_its_text_and_fits_its_line(apparatus: Apparatus) -> None:
    for setting in settings_of(apparatus, 2):
        assert apparatus.parse(str(setting)) == setting
        assert len(apparatus.brief(setting)) <= BRIEF, str(setting)


def test_short_forms_of_a_full_bed_and_of_a_chair() -> None:
    assert REFORMER.brief(REFORMER.parse("full full half quarter")) == "2F+H+Q"
    assert REFORMER.brief(REFORMER.parse("full")) == "F"
    assert CHAIR.brief(CHAIR.parse("3+3")) == "3+3"
    assert CHAIR.brief(CHAIR.parse("none")) == ""
    assert TOWER.brief(TOWER.parse("leg@high leg@high")) == "2Lhi"
    assert TOWER.brief(TOWER.parse("leg@high arm@mid")) == "Lhi+Ami"
    assert TOWER.brief(TOWER.parse("L@mi L@mi A@mi A@mi")) == "2L+2Ami"


def test_every_setting_of_the_library_fits_its_line() -> None:
    for e in shipped().exercises.values():
        if e.springs:
            for setting in (e.springs.usual, e.springs.easier, e.springs.harder):
                assert len(shipped().apparatus[e.apparatus].brief(setting)) <= BRIEF, e.id


@pytest.mark.parametrize(
    ("before", "after", "moved"),
    [
        ("3+3", "3+3", 0),
        ("3+3", "3+2", 1),
        ("3+2", "2+3", 0),
        ("4+3", "2+1", 2),
        ("3+3", "3", 1),
        ("none", "3+2", 2),
    ],
)
def test_changes_count_springs_that_are_touched(before: str, after: str, moved: int) -> None:
    assert CHAIR.changes(CHAIR.parse(before), CHAIR.parse(after)) == moved


@given(st.data())
def test_changes_are_a_distance(data: st.DataObject) -> None:
    apparatus = data.draw(st.sampled_from(SPRUNG))
    a, b, c = (data.draw(st.sampled_from(settings_of(apparatus))) for _ in range(3))
    assert apparatus.changes(a, b) == apparatus.changes(b, a)
    assert (apparatus.changes(a, b) == 0) == (a == b)
    assert apparatus.changes(a, c) <= apparatus.changes(a, b) + apparatus.changes(b, c)


@given(st.data())
def test_one_more_spring_ranks_higher(data: st.DataObject) -> None:
    apparatus = data.draw(st.sampled_from(SPRUNG))
    less = data.draw(st.sampled_from(settings_of(apparatus, apparatus.most - 1)))
    token = data.draw(st.sampled_from(apparatus.tokens()))
    try:
        more = apparatus.set([*less.tokens, token])
    except SpringError:
        return
    assert apparatus.rank(more) > apparatus.rank(less)


def test_springs_are_listed_lightest_first() -> None:
    assert CHAIR.tokens() == ("1", "2", "3", "4")
    assert REFORMER.tokens() == ("quarter", "half", "full")

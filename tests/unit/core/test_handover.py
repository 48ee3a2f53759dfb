"""What a colleague gets of a sheet."""

import pytest

from core.caution import Kind
from core.handover import handed_over, short_names
from tests.sheets import small_sheet


@pytest.mark.parametrize(
    ("names", "shown"),
    [
        (["ANA", "BO"], ("ANA", "BO")),
        (["Ana Maria Sol", "Bo Reed"], ("Ana", "Bo")),
        (["Ana Sol", "ana Reed"], ("Ana S.", "ana R.")),
        (["Ana Sol", "Ana Sand"], ("Ana S. 1", "Ana S. 2")),
        ([], ()),
    ],
)
def test_people_are_told_apart_by_as_little_as_will_do(
    names: list[str], shown: tuple[str, ...]
) -> None:
    assert short_names(names) == shown


def test_a_handed_over_sheet_names_no_group_and_never_asks_first() -> None:
    sheet = small_sheet()
    given = handed_over(sheet)
    assert given.plan.brief.group == ""
    assert len(given.people) == len(sheet.people)
    for mine, hers in zip(sheet.people, given.people, strict=True):
        assert all(need.kind is not Kind.ASK_FIRST for need in hers.needs)
        # Whatever was to be changed somewhere still is.
        assert {n for need in mine.needs for n in need.places} == {
            n for need in hers.needs for n in need.places
        }

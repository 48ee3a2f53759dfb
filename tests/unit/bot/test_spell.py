"""A brief written as a line and read again is the same brief."""

from dataclasses import replace
from datetime import datetime, timedelta
from random import Random

import pytest

from bot.commands import MakePlan
from bot.errors import UserError
from bot.grammar.context import Context
from bot.grammar.parse import parse
from bot.grammar.spell import spell
from core.aims import AIMS, BARS
from core.brief import USUAL_PEOPLE, ClassBrief
from core.repertoire import shipped
from tests.briefs import any_brief

NOW = datetime(2026, 11, 25, 10, 0)  # noqa: DTZ001 - a wall clock
GROUPS = ("", "", "dawn", "harbour", "ANA", "seniors2")


def back(brief: ClassBrief) -> ClassBrief:
    """The brief spelled and read again; a habit fills what is not said."""
    command = parse(spell(brief, shipped()), Context(shipped(), NOW))
    assert isinstance(command, MakePlan)
    assert command.minutes
    return ClassBrief(
        minutes=command.minutes,
        apparatus=command.apparatus,
        level=command.level,
        focus=command.focus,
        without=command.without,
        must=command.must,
        people=command.people or USUAL_PEOPLE,
        group=command.group,
        starts=command.starts,
    )


@pytest.mark.parametrize("seed", range(120))
def test_a_brief_is_read_again_as_it_was(seed: int) -> None:
    random = Random(seed)
    brief = any_brief(random)
    starts = NOW + timedelta(minutes=15 * random.randint(1, 4 * 24 * 60))
    brief = replace(
        brief,
        group=random.choice(GROUPS),
        starts=random.choice((None, starts)),
    )
    assert back(brief) == brief, spell(brief, shipped())


def test_every_exercise_aim_and_bar_is_spelled_so_that_it_is_read() -> None:
    plain = any_brief(Random(0))
    plain = replace(plain, focus=(), without=(), must=(), group="", starts=None)
    for e in list(shipped().exercises.values())[::5]:
        brief = replace(plain, must=(e.id,), apparatus=(e.apparatus,))
        assert back(brief).must == (e.id,), spell(brief, shipped())
    for aim in AIMS:
        assert back(replace(plain, focus=(aim,))).focus == (aim,)
    for bar in BARS:
        assert back(replace(plain, without=(bar,))).without == (bar,)


def test_a_movement_left_out_is_spelled_too() -> None:
    context = Context(shipped(), NOW)
    spelled = 0
    for e in list(shipped().exercises.values())[::7]:
        try:
            command = parse(f"plan 45 {e.apparatus} no {e.name}", context)
        except UserError:
            continue  # its first word is one of the body
        assert isinstance(command, MakePlan)
        asked = ClassBrief(45, command.apparatus, without=command.without)
        if any(bar.movements for bar in asked.without):
            assert back(asked) == asked, spell(asked, shipped())
            spelled += 1
    assert spelled > 10


def test_two_of_a_kind_stay_two() -> None:
    brief = ClassBrief(
        45, any_brief(Random(0)).apparatus, focus=AIMS[:2], without=BARS[:3], people=1
    )
    assert back(brief) == brief

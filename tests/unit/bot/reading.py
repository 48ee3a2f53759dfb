"""Reading typed lines at a fixed time, for tables of them."""

from dataclasses import fields
from datetime import datetime
from typing import TypeVar

import pytest

from bot.commands import Command, MakePlan
from bot.errors import UserError
from bot.grammar.context import Context
from bot.grammar.parse import parse
from core.repertoire import shipped

Fault = TypeVar("Fault", bound=UserError)


def at(moment: str) -> datetime:
    """A local wall time."""
    return datetime.fromisoformat(moment)


NOW = at("2026-11-25 10:00")  # a Wednesday


def context(now: datetime = NOW) -> Context:
    """The shipped library at this local time."""
    return Context(shipped(), now)


def read(line: str, now: datetime = NOW) -> Command:
    """What the line asks for."""
    return parse(line, context(now))


def wishes(line: str, now: datetime = NOW) -> dict[str, object]:
    """The fields of the plan the line asks for that differ from a plan that asks for nothing.

    Aims and bars are given by their names, apparatus as one word list.
    """
    command = read(line, now)
    assert isinstance(command, MakePlan)
    empty = MakePlan("")
    found: dict[str, object] = {
        f.name: getattr(command, f.name)
        for f in fields(command)
        if f.name != "line" and getattr(command, f.name) != getattr(empty, f.name)
    }
    if command.apparatus:
        found["apparatus"] = " ".join(command.apparatus)
    if command.focus:
        found["focus"] = [aim.name for aim in command.focus]
    if command.without:
        found["without"] = [bar.name for bar in command.without]
    if command.level:
        found["level"] = int(command.level)
    found.pop("level_said", None)
    if command.level_said and not command.level:
        found["level"] = "mixed"
    return found


def refusal(line: str, kind: type[Fault], now: datetime = NOW) -> Fault:
    """The fault of this kind that the line is answered with."""
    with pytest.raises(kind) as error:
        read(line, now)
    return error.value

"""The signs of `core.red_flags` as values, read from `library/red-flags.toml`."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum
from functools import lru_cache
from typing import Any

from core.errors import LibraryError
from core.repertoire import DATA


class Urgency(IntEnum):
    """What a sign asks for, the mildest first; NONE where it means nothing by itself."""

    NONE = 0
    ASK = 1
    STOP = 2
    EMERGENCY = 3


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way to write a sign.

    Attributes:
        expecting: its urgency in pregnancy and after a birth.
        also: what must stand anywhere else in the text.
        may_settle: it means nothing when its sentence says that it settles, and STOP at least when
            it says that it does not.
    """

    words: re.Pattern[str]
    urgency: Urgency
    expecting: Urgency
    also: re.Pattern[str] | None
    may_settle: bool


@dataclass(frozen=True, slots=True)
class Sign:
    """A sign of an emergency kind; `source` is the id of a source of the cautions."""

    id: str
    source: str
    patterns: tuple[Pattern, ...]


@lru_cache(maxsize=1)
def signs() -> tuple[Sign, ...]:
    """The signs that ship with the project, read once.

    Raises:
        LibraryError: a sign is incomplete, or its words are no regular expression.
    """
    tables = tomllib.loads((DATA / "red-flags.toml").read_text(encoding="utf-8"))["sign"]
    try:
        return tuple(
            Sign(table["id"], table["source"], tuple(map(_pattern, table["patterns"])))
            for table in tables
        )
    except (KeyError, re.error) as fault:
        raise LibraryError(f"red-flags.toml: {fault}") from fault


def _pattern(table: Mapping[str, Any]) -> Pattern:
    urgency = Urgency[table["urgency"].upper()]
    also = table.get("also")
    return Pattern(
        words=re.compile(rf"\b(?:{table['words']})\b"),
        urgency=urgency,
        expecting=Urgency[table["expecting"].upper()] if "expecting" in table else urgency,
        also=re.compile(also) if also else None,
        may_settle=table.get("may_settle", False),
    )

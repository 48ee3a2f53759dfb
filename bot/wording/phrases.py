"""Small turns of phrase that many sentences share."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from textwrap import wrap

from core.exercise import Level

WIDTH = 36  # characters of a line on a phone at arm's length


def clock(seconds: int) -> str:
    """Minutes and seconds since the start of the slot: "12:30"."""
    return f"{seconds // 60}:{seconds % 60:02}"


def count(number: int, one: str, many: str = "") -> str:
    """ "1 spring change", "3 spring changes"."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def listed(names: Sequence[str], last: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {last} {names[-1]}"


def level_name(level: Level | None) -> str:
    """ "level 2" or "mixed level"."""
    return f"level {int(level)}" if level else "mixed level"


def moment(when: datetime, now: datetime | None = None) -> str:
    """ "Tue 1 Dec 18:00"; with its year where that is not the year of `now`."""
    year = f" {when.year}" if now and when.year != now.year else ""
    return f"{when:%a} {when.day} {when:%b}{year} {when:%H:%M}"


def wrapped(text: str, indent: str = "") -> str:
    """The text in lines no wider than a phone."""
    words = text.split(" ")
    if not text.isprintable() or not all(0 < len(word) <= WIDTH - len(indent) for word in words):
        return "\n".join(wrap(text, WIDTH, subsequent_indent=indent, break_on_hyphens=False))
    # Ordinary sentences, which is nearly all of them: the same lines in a fifth of the time.
    lines = [words[0]]
    for word in words[1:]:
        if len(lines[-1]) + 1 + len(word) <= WIDTH:
            lines[-1] += f" {word}"
        else:
            lines.append(indent + word)
    return "\n".join(lines)


def paragraph(sentences: Iterable[str]) -> str:
    """Sentences one after another, the empty ones left out."""
    return " ".join(s for s in sentences if s)

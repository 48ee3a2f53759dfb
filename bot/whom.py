"""Whom a typed name means. What is done to somebody needs the name to the letter, or a tap.

Letters, case and accents are folded; a name may be several words, so that of "ANA left wrist" the
longest beginning that is somebody counts.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from rapidfuzz.distance import OSA

from bot.desk import Desk
from bot.errors import Guess, WhoError
from core.client import Client
from core.fold import fold

MOST_WORDS = 6  # of a name
OFFERED = 4  # names offered as buttons
LONG = 5  # letters from which two slips are looked for, not one
CLEAR = 4  # letters from which a look-up takes a single name one slip away

Line = Callable[[str, str], str]  # a name and the rest -> the line that a button says


@dataclass(frozen=True, slots=True)
class Whom:
    """Somebody, and what stood after the name.

    Attributes:
        typed: the name as typed, when it is not hers to the letter; else nothing.
    """

    client: Client
    rest: str = ""
    typed: str = ""


def exactly(typed: str, line: Line, desk: Desk) -> Whom:
    """Whoever the beginning of a text names, and the rest of it.

    Raises:
        WhoError: nobody to the letter; names like it are offered.
    """
    found = _head(typed, desk)
    if found is None:
        raise WhoError(_shown(typed), _offers(_near_heads(typed, desk), line))
    return found


def only(typed: str, line: Line, desk: Desk) -> Client:
    """Whom the whole text names.

    Raises:
        WhoError: nobody to the letter; names like it are offered.
    """
    client = desk.store.people.client_named(typed)
    if client is None:
        near = [(distance, name, "") for distance, name in near_names(typed, desk)]
        raise WhoError(typed, _offers(near, line))
    return client


def looked_up(typed: str, line: Line, desk: Desk, *, whole: bool = False) -> Whom:
    """Whoever is meant by the beginning of a text (or all of it), a slip forgiven.

    A single name one slip away is taken, and said; of two close ones none is.

    Raises:
        WhoError: nobody, or several could be meant.
    """
    people = desk.store.people
    if whole:
        client = people.client_named(typed)
        if client:
            return Whom(client)
        near = [(distance, name, "") for distance, name in near_names(typed, desk)]
    else:
        found = _head(typed, desk)
        if found:
            return found
        near = _near_heads(typed, desk)
    if len({name for _, name, _ in near}) == 1 and near[0][0] <= 1:
        _, name, rest = near[0]
        head = typed.removesuffix(rest).strip()
        client = people.client_named(name)
        if client and len(fold(head)) >= CLEAR:
            return Whom(client, rest, head)
    raise WhoError(typed if whole else _shown(typed), _offers(near, line))


def several(names: Iterable[str], line: Callable[[str, str], str], desk: Desk) -> list[Client]:
    """Everybody these names mean, each to the letter; `line` is given what was typed and a name.

    Raises:
        WhoError: one of them is nobody.
    """
    found: list[Client] = []
    for typed in names:

        def said(other: str, _: str, typed: str = typed) -> str:
            return line(typed, other)

        found.append(only(typed, said, desk))
    return found


def _head(typed: str, desk: Desk) -> Whom | None:
    words = typed.split()
    for size in range(min(len(words), MOST_WORDS), 0, -1):
        name = " ".join(words[:size])
        if fold(name):
            client = desk.store.people.client_named(name)
            if client:
                return Whom(client, " ".join(words[size:]).lstrip(" ,:"))
    return None


def _near_heads(typed: str, desk: Desk) -> list[tuple[float, str, str]]:
    """Names like a beginning of the text, the nearest first: distance, name, the rest."""
    words = typed.split()
    names = list(desk.store.people.names().values())
    best: dict[str, tuple[float, str, str]] = {}
    for size in range(min(len(words), 3), 0, -1):
        rest = " ".join(words[size:]).lstrip(" ,:")
        for distance, name in _alike(" ".join(words[:size]), names):
            if name not in best or distance < best[name][0]:
                best[name] = (distance, name, rest)
    return sorted(best.values())


def near_groups(typed: str, desk: Desk) -> list[str]:
    """Names of groups like this one, the nearest first."""
    return [name for _, name in _alike(typed, [g.name for g in desk.store.people.groups()])]


def near_names(typed: str, desk: Desk) -> list[tuple[float, str]]:
    """Names like this one, the nearest first: how far off, and the name."""
    return _alike(typed, list(desk.store.people.names().values()))


def _alike(typed: str, names: list[str]) -> list[tuple[float, str]]:
    """The names one or two slips away, or of which this is a word, the nearest first."""
    word = fold(typed)
    if len(word) < 2:
        return []
    slips = 2 if len(word) >= LONG else 1
    found: list[tuple[float, str]] = []
    for name in names:
        known = fold(name)
        far = abs(len(word) - len(known)) > slips
        distance: float = slips + 1 if far else OSA.distance(word, known, score_cutoff=slips)
        if distance > slips and word in known:
            begins = len(word) > 2 and known.startswith(word)
            distance = 1 if begins or word in known.split() else distance
        if distance <= slips:
            found.append((distance, name))
    return sorted(found)


def _offers(near: list[tuple[float, str, str]], line: Line) -> tuple[Guess, ...]:
    return tuple(Guess(name, line(name, rest)) for _, name, rest in near[:OFFERED])


def _shown(typed: str) -> str:
    """The word of a longer text that a name would begin with."""
    return typed.split(maxsplit=1)[0].rstrip(",:;") if typed.split() else typed

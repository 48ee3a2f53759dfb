"""The library's spring settings in the terms of an instructor's own apparatus.

The library is written for the shipped descriptions. A spring with a name ("full", "arm") is the
same everywhere, and so is a notch where she has as many springs as the library or more: ranks are
compared as they are. With fewer springs, all alike, a setting keeps its share of the heaviest one.

A limit errs on the careful side. Resisted work never gets heavier than the limit written, carried
(assist) work never lighter than its share. Only where springs are alike and even the lightest
setting is heavier than the limit, that lightest one becomes the limit.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations_with_replacement, product

from core.apparatus import Apparatus, Hook, Spring, SpringSetting
from core.errors import SpringError
from core.exercise import Exercise, Load, Springs

MOST_ALIKE = 6  # helical springs of a chair: "up to about six" (US patent 6,634,997, description)
MOST_NAMED = 8  # springs of a reformer or tower (house choice)
MOST_NOTCHES = 8  # house choice
EXACT = 9  # decimals within which two ranks are the same


@dataclass(frozen=True, slots=True)
class _Level:
    """Settings of one standing: `value` on the shared scale."""

    value: float
    settings: tuple[SpringSetting, ...]


@lru_cache(maxsize=64)
def possible_settings(apparatus: Apparatus) -> tuple[SpringSetting, ...]:
    """Every setting the apparatus can take, lightest first; the first is no spring at all."""
    by_spring = [
        [
            tokens
            for n in range(min(spring.count, apparatus.most) + 1)
            for tokens in combinations_with_replacement(_tokens_of(apparatus, spring), n)
        ]
        for spring in apparatus.springs
    ]
    settings = [
        apparatus.set(tokens)
        for parts in product(*by_spring)
        if len(tokens := tuple(t for part in parts for t in part)) <= apparatus.most
    ]
    return tuple(sorted(settings, key=lambda s: (apparatus.rank(s), len(s.tokens), s.tokens)))


def heaviest_rank(apparatus: Apparatus) -> float:
    """Rank of the heaviest setting the apparatus can take; 0 without springs."""
    return apparatus.rank(possible_settings(apparatus)[-1])


def share(apparatus: Apparatus, setting: SpringSetting) -> float:
    """Standing of a setting from 0 (no spring) to 1 (the heaviest the apparatus can take).

    Raises:
        SpringError: the apparatus has no springs, or the setting is none of its own.
    """
    if not heaviest_rank(apparatus):
        raise SpringError(f"the {apparatus.name} has no springs")
    return apparatus.rank(setting) / heaviest_rank(apparatus)


def translate(exercise: Exercise, shipped: Apparatus, hers: Apparatus) -> Exercise:
    """The exercise with its four settings as her apparatus can take them.

    Easier, usual and harder keep their order, strictly as long as her apparatus has enough settings
    within the limit. Body-weight work stays as it is.

    Raises:
        SpringError: her apparatus has no springs, lacks every spring or hook the exercise uses, or
            has only named springs beyond the exercise's limit.
    """
    springs = exercise.springs
    if springs is None:
        return exercise
    if not hers.springs:
        raise SpringError(f"the {hers.name} has no springs, and {exercise.name} needs some")
    same = (shipped.springs, shipped.hooks, shipped.most) == (hers.springs, hers.hooks, hers.most)
    if same or _keeps(springs, shipped, hers):
        return exercise
    return replace(exercise, springs=_translated(exercise, springs, shipped, hers))


def redescribe(
    shipped: Apparatus, springs: int | Sequence[str], notches: int | None = None
) -> Apparatus:
    """The apparatus with other springs: how many and on how many notches, or which by name.

    Notches are numbered from the lightest; their grades follow the shipped ones. Named springs are
    known kinds, each as often as it is there: ["full", "full", "half"].

    Raises:
        SpringError: no such springs can be on this apparatus; the message says what can.
    """
    if not shipped.springs:
        raise SpringError(f"the {shipped.name} has no springs to describe")
    if len(shipped.springs) == 1 and shipped.hooks:
        if not isinstance(springs, int):
            raise SpringError(
                f"the springs of the {shipped.name} are alike: say how many there are and how "
                "many notches"
            )
        return _alike(shipped, springs, len(shipped.hooks) if notches is None else notches)
    if isinstance(springs, int) or notches is not None:
        known = ", ".join(spring.name for spring in shipped.springs)
        raise SpringError(f"name each spring of the {shipped.name}: {known}")
    return _named(shipped, springs)


def _alike(shipped: Apparatus, count: int, notches: int) -> Apparatus:
    if not 1 <= count <= MOST_ALIKE:
        raise SpringError(f"a {shipped.name} has 1 to {MOST_ALIKE} springs, not {count}")
    if not 1 <= notches <= MOST_NOTCHES:
        raise SpringError(f"a {shipped.name} has 1 to {MOST_NOTCHES} notches, not {notches}")
    grades = sorted(hook.grade for hook in shipped.hooks)
    hooks = tuple(Hook(str(n + 1), _spread(grades, n, notches)) for n in range(notches))
    kind = replace(shipped.springs[0], count=count)
    return replace(shipped, springs=(kind,), hooks=hooks, most=count)


def _spread(grades: Sequence[float], n: int, notches: int) -> float:
    """Grade of notch `n` of `notches`, read off the line through the shipped grades."""
    at = (len(grades) - 1) * (n / (notches - 1) if notches > 1 else 1.0)
    low = min(int(at), max(len(grades) - 2, 0))
    high = min(low + 1, len(grades) - 1)
    return round(grades[low] + (grades[high] - grades[low]) * (at - low), 4)


def _named(shipped: Apparatus, names: Sequence[str]) -> Apparatus:
    spelled = {short.casefold(): long for long, short in shipped.short}
    counts = dict.fromkeys((spring.name for spring in shipped.springs), 0)
    for name in names:
        kind = spelled.get(name.casefold(), name.casefold())
        if kind not in counts:
            known = ", ".join(counts)
            raise SpringError(f"{name!r} is no spring of a {shipped.name}: it can have {known}")
        counts[kind] += 1
    if not 1 <= len(names) <= MOST_NAMED:
        raise SpringError(f"a {shipped.name} has 1 to {MOST_NAMED} springs, not {len(names)}")
    all_at_once = shipped.most == sum(spring.count for spring in shipped.springs)
    return replace(
        shipped,
        springs=tuple(replace(s, count=counts[s.name]) for s in shipped.springs if counts[s.name]),
        most=len(names) if all_at_once else min(shipped.most, len(names)),
    )


def _translated(
    exercise: Exercise, springs: Springs, shipped: Apparatus, hers: Apparatus
) -> Springs:
    named, assist = _named_alike(shipped, hers), exercise.load is Load.ASSIST
    scale = 1.0 if named else min(1.0, heaviest_rank(hers) / heaviest_rank(shipped))
    most = hers.most if named else max(len(s.tokens) for s in _four(springs))
    levels = _levels(hers, _usable(springs, shipped, hers), range(_fewest(springs), most + 1))
    border = round(shipped.rank(springs.limit) * (scale if assist else 1.0), EXACT)
    if assist:
        within = [level for level in levels if level.value >= border]
    else:
        within = [level for level in levels if level.value <= border]
        if not named:
            within = within or levels[:1]
    if not within:
        side = "light" if assist else "heavy"
        raise SpringError(f"every setting of the {hers.name} is too {side} for {exercise.name}")
    three = (springs.easier, springs.usual, springs.harder)
    wanted = {s: round(shipped.rank(s) * scale, EXACT) for s in three}
    values = sorted(set(wanted.values()))
    level_of = dict(zip(values, _assign(values, within), strict=True))
    easier, usual, harder = (_closest(s, level_of[wanted[s]]) for s in three)
    limit = _closest(springs.limit, within[0] if assist else within[-1])
    return Springs(usual, easier, harder, limit)


def _assign(values: Sequence[float], levels: Sequence[_Level]) -> list[_Level]:
    """A level for each value (both rising): strictly rising if there are enough, in sum nearest."""
    if len(levels) < len(values):
        return [min(levels, key=lambda level: abs(level.value - value)) for value in values]
    best: list[tuple[float, list[_Level]]] = [(0.0, [])] * (len(levels) + 1)
    for done, value in enumerate(values):
        row: list[tuple[float, list[_Level]]] = [(float("inf"), [])] * (done + 1)
        for k in range(done, len(levels)):
            cost, chosen = best[k]
            take = cost + abs(levels[k].value - value), [*chosen, levels[k]]
            row.append(min(row[k], take, key=lambda option: option[0]))
        best = row
    return best[-1][1]


def _levels(hers: Apparatus, tokens: frozenset[str], counts: range) -> list[_Level]:
    """The settings of so many of these tokens, grouped by rank, lightest first."""
    groups: dict[float, list[SpringSetting]] = {}
    for setting in possible_settings(hers):
        if len(setting.tokens) in counts and tokens.issuperset(setting.tokens):
            groups.setdefault(round(hers.rank(setting), EXACT), []).append(setting)
    return [_Level(value, tuple(settings)) for value, settings in sorted(groups.items())]


def _closest(shipped: SpringSetting, level: _Level) -> SpringSetting:
    """Of settings equal in rank, the one most like the shipped, then the simplest to hook."""
    return min(
        level.settings,
        key=lambda s: (
            abs(len(s.tokens) - len(shipped.tokens)),
            -(s.counts & shipped.counts).total(),
            len(s.counts),
            s.tokens,
        ),
    )


def _usable(springs: Springs, shipped: Apparatus, hers: Apparatus) -> frozenset[str]:
    """Her tokens that serve the exercise.

    Where hooks are places (all of one grade), the place gives the direction of the pull and the
    kind of spring its handle, so only those the exercise uses will do.
    """
    if not _places(shipped):
        return frozenset(hers.tokens())
    used = {token for s in _four(springs) for token in s.tokens}
    kinds = {_kind(shipped, token) for token in used}
    places = {_place(token) for token in used}
    fit = frozenset(
        token
        for token in hers.tokens()
        if _kind(hers, token) in kinds and (len(hers.hooks) <= 1 or _place(token) in places)
    )
    if not fit:
        raise SpringError(f"the {hers.name} has none of {', '.join(sorted(used))}")
    return fit


def _keeps(springs: Springs, shipped: Apparatus, hers: Apparatus) -> bool:
    """Whether names mean the same on both and every setting can stand as it is."""
    return _named_alike(shipped, hers) and set(possible_settings(hers)).issuperset(_four(springs))


def _named_alike(shipped: Apparatus, hers: Apparatus) -> bool:
    """Whether both tell springs apart by name and each name stands for the same."""
    theirs = {(s.name, s.grade) for s in shipped.springs}
    return len(shipped.springs) > 1 and theirs.issuperset((s.name, s.grade) for s in hers.springs)


def _places(apparatus: Apparatus) -> bool:
    return len(apparatus.hooks) > 1 and len({hook.grade for hook in apparatus.hooks}) == 1


def _fewest(springs: Springs) -> int:
    """0 where the exercise is done without a spring too, else 1."""
    return min(1, *(len(s.tokens) for s in _four(springs)))


def _four(springs: Springs) -> tuple[SpringSetting, ...]:
    return springs.easier, springs.usual, springs.harder, springs.limit


def _kind(apparatus: Apparatus, token: str) -> str:
    return apparatus.springs[0].name if len(apparatus.springs) == 1 else token.partition("@")[0]


def _place(token: str) -> str:
    return token.rpartition("@")[2]


def _tokens_of(apparatus: Apparatus, spring: Spring) -> list[str]:
    return [token for token in apparatus.tokens() if _kind(apparatus, token) == spring.name]

"""An instructor's own pace, learned from planned and actual times.

The model: every piece of a class takes its planned seconds times exp(x·b), and chance spreads each
piece by the same share. b has one term for everything, one for changes, one for each kind of
exercise, one a person for work and for changes, and one for each day. All are normal around 0, so
little data moves them little and no data moves nothing; what follows from data is closed form
(normal-normal; Bishop 2006, Pattern Recognition and Machine Learning, section 3.3 (from memory)).
A sum of pieces, which is all that is known where nobody tapped, counts as a piece of its own whose
terms are weighted by seconds.

Interruptions: before anything is learned, each time is weighed by how much likelier it is under the
narrow spread around the median than under a wide one.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import exp, log, pi, sqrt

import numpy as np
import numpy.typing as npt

from core.brief import USUAL_PEOPLE
from core.taught import TaughtClass, TaughtItem
from core.timing import Pace

Floats = npt.NDArray[np.float64]

# How far from the default each term is expected to be, as a share (house choices): an instructor's
# pace, her changes against her work, a kind of exercise, a person more, a day.
OVERALL, CHANGE, KIND = 0.20, 0.10, 0.05
WORK_PERSON, CHANGE_PERSON = 0.003, 0.01
DAY = 0.01
SPREAD = 0.15  # of one exercise around its planned time until more is known (house choice)
SPREAD_COUNTS = 10  # times that this guess is worth
DAY_COUNTS = 5  # classes that the guess about days is worth
WIDE = 1.0  # the spread of a time that something broke into (house choice)
RARE = 0.05  # how many such times are expected
NARROWEST, WIDEST = 0.10, 0.30  # of the spread that times are weighed by
STEADY = 2  # times at the default pace that the median begins with

CLASSES = 3  # from so many on an interval is shown
LATEST = 40  # classes learned from: an older pace is an old pace
Z80 = 1.2815515655446004  # 80 % of a normal lie this many spreads around its middle

# Bounds of what is taken over into plans. A class is never planned so fast that the rule that
# counts sides (`core.rules`) would take one for missing, whatever kinds and people come together.
WORK_BOUNDS = (0.70, 1.60)
CHANGE_BOUNDS = (0.50, 2.00)
KIND_BOUNDS = (0.92, 1.09)
PERSON_BOUNDS = (0.99, 1.01)
CHANGE_PERSON_BOUNDS = (0.96, 1.04)


@dataclass(frozen=True, slots=True)
class Piece:
    """Planned seconds of one kind: of a change, or of the work of an exercise."""

    seconds: float
    change: bool
    kinds: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Timed:
    """Pieces and how long they took together.

    Attributes:
        day: a number for the class they belong to.
    """

    pieces: tuple[Piece, ...]
    took_s: float
    people: int = USUAL_PEOPLE
    day: int = 0


@dataclass(frozen=True, slots=True)
class Expected:
    """How long a class will take; the bounds hold in 80 of 100, once there are enough classes."""

    seconds: int
    low: int | None = None
    high: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Learned:
    """What is known of an instructor's pace.

    Attributes:
        classes: how many classes it rests on.
        set_aside: how many times were taken for interrupted.
        terms: the name of each term of b but the days.
        mean, cov: what is known of them.
        spread, days: shares by which one piece, and a whole day, are off by chance.
    """

    classes: int = 0
    set_aside: int = 0
    terms: tuple[str, ...] = ("overall", "change", "work person", "change person")
    mean: Floats = field(default_factory=lambda: np.zeros(4))
    cov: Floats = field(default_factory=lambda: np.diag(_priors(())) ** 2)
    spread: float = SPREAD
    days: float = DAY

    @property
    def pace(self) -> Pace:
        """What plans are timed by; without classes the default exactly."""
        if not self.classes:
            return Pace()
        b = dict(zip(self.terms, map(float, self.mean), strict=True))
        kinds = {kind: b[kind] for kind in self.terms[4:]}
        return Pace(
            work=_bounded(b["overall"], WORK_BOUNDS),
            change=_bounded(b["overall"] + b["change"], CHANGE_BOUNDS),
            kinds=tuple((kind, _bounded(value, KIND_BOUNDS)) for kind, value in kinds.items()),
            work_person=_bounded(b["work person"], PERSON_BOUNDS),
            change_person=_bounded(b["change person"], CHANGE_PERSON_BOUNDS),
        )

    def expected(self, pieces: Sequence[Piece], people: int, talk_s: int) -> Expected:
        """How long these pieces and the talk around them will take."""
        rows = np.array([_row(piece, people, self.terms) for piece in pieces])
        planned = np.array([piece.seconds for piece in pieces])
        seconds = planned * np.exp(rows @ self.mean)
        total = talk_s + float(seconds.sum())
        if self.classes < CLASSES:
            return Expected(round(total))
        slope = seconds @ rows
        variance = (
            float(slope @ self.cov @ slope)
            + self.spread**2 * float(seconds @ seconds)
            + (self.days * float(seconds.sum())) ** 2
        )
        off = Z80 * sqrt(variance)
        return Expected(round(total), round(total - off), round(total + off))


def pieces_of(items: Iterable[TaughtItem]) -> tuple[Piece, ...]:
    """The pieces that places of a class are made of."""
    return tuple(
        piece
        for item in items
        for piece in (Piece(item.change_s, True), Piece(item.work_s, False, item.kinds))
        if piece.seconds > 0
    )


def times_of(taught: Iterable[TaughtClass]) -> list[Timed]:
    """What classes tell of the pace: each exercise that was timed, or else the class as a whole."""
    found: list[Timed] = []
    for day, each in enumerate(taught):
        tapped = [item for item in each.done if item.took_s is not None]
        for item in tapped:
            pieces = pieces_of((item,))
            if pieces and item.took_s:
                found.append(Timed(pieces, item.took_s, each.people, day))
        whole = pieces_of(each.done)
        if not tapped and whole and each.took_s and each.took_s > each.talk_s:
            found.append(Timed(whole, each.took_s - each.talk_s, each.people, day))
    return found


def learned(taught: Sequence[TaughtClass]) -> Learned:
    """What these classes, in the order taught, say of the pace; only the latest count."""
    return learned_from(times_of(taught[-LATEST:]))


def learned_from(times: Sequence[Timed]) -> Learned:
    """What these times say of the pace."""
    if not times:
        return Learned()
    kinds = sorted({kind for t in times for piece in t.pieces for kind in piece.kinds})
    terms = (*Learned().terms, *kinds)
    days = sorted({t.day for t in times})
    x = np.array([_mixed(t, terms) for t in times])
    on = np.array([[float(t.day == day) for day in days] for t in times])
    size = np.array([_size(t) for t in times])
    y = np.array([log(t.took_s / sum(p.seconds for p in t.pieces)) for t in times])
    trust = _trust(y, size)
    spread, day = SPREAD, DAY
    for again in (True, False):
        prior = np.concatenate([_priors(kinds), np.full(len(days), day)])
        noise = spread**2 * size
        # The logarithm of a time lies below that of its mean by half its variance.
        mean, cov = posterior(np.hstack([x, on]), y + noise / 2, noise / trust, prior)
        if again:
            spread = _spread(y - np.hstack([x, on]) @ mean, size, trust)
            day = _days(y - x @ mean[: len(terms)], on, spread**2 * size / trust)
    n = len(terms)
    return Learned(len(days), int((trust < 0.5).sum()), terms, mean[:n], cov[:n, :n], spread, day)


def posterior(x: Floats, y: Floats, noise: Floats, prior: Floats) -> tuple[Floats, Floats]:
    """Mean and covariance of b, where y is x·b and noise, and b is normal around 0.

    Args:
        noise: variance of each y.
        prior: standard deviation of each term of b before anything is seen.
    """
    known = np.diag(prior**-2.0) + (x.T / noise) @ x
    cov = np.linalg.inv(known).astype(np.float64)
    return cov @ (x.T @ (y / noise)), cov


def _priors(kinds: Sequence[str]) -> Floats:
    return np.array([OVERALL, CHANGE, WORK_PERSON, CHANGE_PERSON, *(KIND for _ in kinds)])


def _row(piece: Piece, people: int, terms: Sequence[str]) -> list[float]:
    more = float(people - USUAL_PEOPLE)
    change = float(piece.change)
    own = [1.0, change, more * (1 - change), more * change]
    return own + [float(kind in piece.kinds) for kind in terms[4:]]


def _mixed(timed: Timed, terms: Sequence[str]) -> Floats:
    """The terms of a sum of pieces: those of each, by its part of the seconds."""
    seconds = np.array([piece.seconds for piece in timed.pieces])
    rows = np.array([_row(piece, timed.people, terms) for piece in timed.pieces])
    mixed: Floats = seconds @ rows / seconds.sum()
    return mixed


def _size(timed: Timed) -> float:
    """The variance of a sum of pieces beside that of one: chance evens out."""
    seconds = [piece.seconds for piece in timed.pieces]
    return sum(s * s for s in seconds) / sum(seconds) ** 2


def _trust(y: Floats, size: Floats) -> Floats:
    """How likely each time is one that nothing broke into; never quite 0."""
    middle = float(np.median(np.concatenate([y, np.zeros(STEADY)])))
    off = (y - middle) / np.sqrt(size)
    spread = min(max(1.4826 * float(np.median(np.abs(off))), NARROWEST), WIDEST)
    narrow = np.hypot(spread * np.sqrt(size), DAY)
    usual = (1 - RARE) * _density(y - middle, narrow)
    broken = RARE * _density(y - middle, np.full_like(y, WIDE))
    return np.maximum(usual / (usual + broken), 1e-6)


def _density(off: Floats, spread: Floats) -> Floats:
    found: Floats = np.exp(-((off / spread) ** 2) / 2) / (spread * sqrt(2 * pi))
    return found


def _spread(off: Floats, size: Floats, trust: Floats) -> float:
    """The spread of one piece: the first guess and what was seen, each by what it is worth."""
    seen = float((trust * off**2 / size).sum())
    return sqrt((SPREAD_COUNTS * SPREAD**2 + seen) / (SPREAD_COUNTS + float(trust.sum())))


def _days(off: Floats, on: Floats, noise: Floats) -> float:
    """The spread of whole days: what is left of each day's mean when chance is taken off."""
    weight = on / noise[:, None]
    total = weight.sum(axis=0)
    means = (weight * off[:, None]).sum(axis=0) / total
    seen = float((means**2 - 1 / total).sum())
    return sqrt(max((DAY_COUNTS * DAY**2 + seen) / (DAY_COUNTS + len(total)), (DAY / 2) ** 2))


def _bounded(value: float, bounds: tuple[float, float]) -> float:
    return min(max(exp(value), bounds[0]), bounds[1])

"""Seeded requests as instructors make them: any apparatus, 1-12 people, cautions, wishes."""

from dataclasses import replace
from random import Random

from core.aims import AIMS, BARS
from core.apparatus import ApparatusId
from core.brief import MOST_PEOPLE, ClassBrief
from core.exercise import Level
from core.planner.model import pool_of
from core.planner.request import Request
from core.repertoire import Repertoire

ON = (
    ("mat",),
    ("chair",),
    ("reformer",),
    ("tower",),
    ("mat", "reformer"),
    ("chair", "mat"),
    ("reformer", "tower"),
    ("mat", "props"),
)
MINUTES = (30, 40, 45, 45, 50, 50, 55, 55, 60, 60, 75, 90)
LEVELS = (None, Level.FUNDAMENTAL, Level.INTERMEDIATE, Level.INTERMEDIATE, Level.ADVANCED)
WISHING = 0.3  # the part of requests that name exercises which have to be there


def requests(library: Repertoire, count: int, seed: int = 1) -> list[Request]:
    """As many requests; the same seed gives the same ones."""
    random = Random(seed)
    return [_request(library, random) for _ in range(count)]


def _request(library: Repertoire, random: Random) -> Request:
    brief = ClassBrief(
        minutes=random.choice(MINUTES),
        apparatus=tuple(ApparatusId(name) for name in random.choice(ON)),
        level=random.choice(LEVELS),
        focus=tuple(random.sample(AIMS, random.choice((0, 0, 1, 1, 2)))),
        without=tuple(random.sample(BARS, random.choice((0, 0, 1, 1, 2, 3)))),
        people=random.randint(1, MOST_PEOPLE),
    )
    if random.random() < WISHING:
        pool = [e.id for e in pool_of(Request(brief, library))]
        wishes = min(len(pool), random.choice((1, 1, 2)))
        brief = replace(brief, must=tuple(random.sample(pool, wishes)))
    return Request(brief, library)

"""Every weight and limit of planning, once, by name and with its reason.

About ten points are what one minute of ordinary work is worth. Shares are parts of the slot. Unless
a source is named, a share is common practice without a source and a weight is a house choice.
"""

from collections.abc import Mapping
from typing import Final

from core.exercise import Phase, Theme

# Stages of the search: the peak is climbed to and eased out of, so that effort has one summit.
WARM, FOUNDATION, CLIMB, EASE, COOL = range(5)
PHASE_OF_STAGE: Final = (
    Phase.WARM_UP,
    Phase.FOUNDATION,
    Phase.PEAK,
    Phase.PEAK,
    Phase.COOL_DOWN,
)
STAGES_OF_PHASE: Final[Mapping[Phase, tuple[int, ...]]] = {
    Phase.WARM_UP: (WARM,),
    Phase.FOUNDATION: (FOUNDATION,),
    Phase.PEAK: (CLIMB, EASE),
    Phase.COOL_DOWN: (COOL,),
}

# Warm-up 10-15 %, foundation 20-30 %, peak 35-45 %, cool-down 8-12 % of the slot (common practice,
# no source). A class rarely splits so evenly: a share may miss its band by SHARE_GIVES.
SHARES: Final[Mapping[Phase, tuple[float, float]]] = {
    Phase.WARM_UP: (0.10, 0.15),
    Phase.FOUNDATION: (0.20, 0.30),
    Phase.PEAK: (0.35, 0.45),
    Phase.COOL_DOWN: (0.08, 0.12),
}
SHARE_GIVES: Final = 0.02
CLIMB_SHARE: Final = (0.14, 0.36)  # of the slot; the rest of the peak eases out of the summit
EASE_SHARE: Final = (0.07, 0.26)
SUMMIT: Final = (0.60, 0.75)  # where the hardest work ends: "about two thirds of the class"
LATE_S: Final = 60  # a class ends within its last minute, never past the slot

DIP: Final = 2  # effort may drop by this much on the way up, and rise by one on the way down
LEAP: Final = 4  # effort rises by at most this much from one exercise to the next
COOL_EFFORT: Final = 4

MINUTE: Final = 10  # points of a minute of work at usual repetitions
EXTRA_ITEM: Final = 18  # each exercise costs this: few, done well, beat many
# and a point more for each minute of the class beyond the first number, up to the second: half an
# hour flows in short blocks, an hour has time to teach what it does (common practice, no source)
UNHURRIED: Final = (25, 50)  # two thirds of it within a series, which is taught as one thing
SECOND_SET: Final = 10  # a second set is worth less than something new
FOCUS: Final = 9  # more points a minute for each thing a focus names
LEVEL_BELOW: Final = 2  # fewer points a minute for each level an exercise stays under the class's
EFFORT_OFF: Final = 2  # fewer points a minute for each step of effort off what its stage wants
EFFORT_WANTED: Final = {WARM: 2, FOUNDATION: 4, CLIMB: 6, EASE: 4, COOL: 2}
LEVEL_EFFORT: Final = {1: -1, 2: 0, 3: 1}  # the climb wants this much more or less at each level
BASICS: Final = 4  # more points a minute for the foundation's own work: footwork, abdominals, legs
BASIC_THEMES: Final = (Theme.KNEE_EXTENSION, Theme.ABDOMINALS, Theme.HIP_EXTENSION)
UNSPRUNG: Final = 3  # fewer points a minute for work without springs where the apparatus has them
RECENT: Final = 5  # fewer points a minute for what the last plan of these people had
TASTE: Final = 2  # random points a minute, from the seed: equal choices vary, better ones stay

SPRING_CHANGE: Final = 11  # points a moved spring: everybody stops for it
SPRING_BRIDGED: Final = 5  # ... where an easier or harder setting of both would match
RIG_CHANGE: Final = 8
POSITION_CHANGE: Final = 4
POSITION_HEIGHT: Final = 1  # points a step of height: getting down and up is hard for some
APPARATUS_CHANGE: Final = 60
SAME_MUSCLE: Final = 4  # two in a row on one primary muscle
SERIES_HOLDS: Final = 6  # points gained when a series goes on

NOT_USUAL: Final = 6  # an easier or harder setting than usual

KEEP_ITEM: Final = 45  # an edit leaves what it was not about: the items of the plan ...
KEEP_PAIR: Final = 25  # ... who stands next to whom ...
KEEP_SETS: Final = 8  # ... and how many sets

LONGEST_RUN: Final = 3  # no more than three in a row on the same primary muscle
DIRECTION_REWARDS: Final = (30, 14, 7, 3)
THEME_REWARDS: Final = (10, 4, 2)
FOOTWORK_REWARDS: Final = (40, 10, 6, 4)  # the foundation of a class on springs
FOCUS_REWARDS: Final = (24, 14, 10, 6, 4)
FLEXION_RATIO: Final = 2  # flexion to extension at most two to one (common practice, no source)
THEMES_WANTED: Final = (
    Theme.ABDOMINALS,
    Theme.HIP_EXTENSION,
    Theme.HIP_ABDUCTION,
    Theme.KNEE_EXTENSION,
    Theme.KNEE_FLEXION,
    Theme.PUSH,
    Theme.PULL,
    Theme.SHOULDER_STABILITY,
    Theme.BALANCE,
    Theme.BREATH,
    Theme.STRETCH,
)
SHARE_OF_EACH: Final = 0.2  # each apparatus asked for gets at least this part of the exercises
ENDS_REWARDS: Final = (6, 6, 4)  # warm-up and cool-down are more than one thing
ENDS_LEAST: Final = 2
LONGEST_ITEM_S: Final = 200  # one exercise lasts one to three minutes; half a minute more with sets

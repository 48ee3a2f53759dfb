"""What springs measure: two scale readings -> stiffness and preload; the same feel elsewhere.

A luggage scale at the pedal, handle or carriage shows kilograms at the start and at the end of
its travel. A spring nobody measured stays unknown: settings are then compared by rank, openly.
"""

from collections.abc import Callable
from dataclasses import dataclass

from core.apparatus import Apparatus, SpringSetting
from core.errors import ReadingError, SpringError
from core.load import Coil, kgf_to_n, parallel
from core.translate import possible_settings, share

TRAVEL_M = 0.30  # travel between the two readings where she names none (house choice)
SCALE_KG = 100.0  # more is a slip of the finger (house choice; luggage scales end at about 50)
BIG_STEP_PCT = 25.0  # a difference worth a warning (house choice)
MOST_EQUIVALENTS = 3
RANK_DECIMALS = 6


@dataclass(frozen=True, slots=True)
class Reading:
    """One hooked spring on the scale.

    Attributes:
        token: the spring as its apparatus calls it, e.g. "3", "full" or "leg@high".
        top_kg: what the scale shows at the start of the travel, in kilograms-force.
        bottom_kg: the same at the end of the travel.
        travel_m: how far apart the two were read.
    """

    token: str
    top_kg: float
    bottom_kg: float
    travel_m: float = TRAVEL_M

    def __post_init__(self) -> None:
        if not 0 <= self.top_kg <= self.bottom_kg or not 0 < self.bottom_kg <= SCALE_KG:
            raise ReadingError(
                f"spring {self.token} can't pull {self.top_kg:g} kg at the start of its travel and "
                f"{self.bottom_kg:g} kg at the end: it rises from 0 or more to {SCALE_KG:g} at most"
            )
        if not 0 < self.travel_m <= 2:
            raise ReadingError(
                f"spring {self.token}: a travel of {self.travel_m:g} m can't be; want up to 2"
            )

    @property
    def stiffness_n_per_m(self) -> float:
        """How much harder it pulls for each metre of travel."""
        return kgf_to_n(self.bottom_kg - self.top_kg) / self.travel_m

    @property
    def preload_n(self) -> float:
        """The force at the start of the travel."""
        return kgf_to_n(self.top_kg)

    @property
    def mean_force_n(self) -> float:
        """The force over the travel on average; the line between the readings is straight."""
        return kgf_to_n((self.top_kg + self.bottom_kg) / 2)

    @property
    def coil(self) -> Coil:
        """The spring as felt at the scale, stretch counted from the start of the travel."""
        return Coil(self.stiffness_n_per_m, self.preload_n)


@dataclass(frozen=True, slots=True)
class Calibration:
    """The readings of one apparatus, at most one a token; no readings means nobody measured.

    Raises:
        SpringError: a reading is of a spring the apparatus doesn't have.
        ReadingError: a spring was read twice.
    """

    apparatus: Apparatus
    readings: tuple[Reading, ...] = ()

    def __post_init__(self) -> None:
        for reading in self.readings:
            self.apparatus.grade(reading.token)
            if self.reading(reading.token) is not reading:
                raise ReadingError(f"spring {reading.token} was read twice: keep one reading")

    def reading(self, token: str) -> Reading | None:
        """The reading of this spring, or None."""
        return next((r for r in self.readings if r.token == token), None)

    def unknown(self) -> tuple[str, ...]:
        """The springs nobody measured, lightest first."""
        return tuple(t for t in self.apparatus.tokens() if self.reading(t) is None)

    def coil(self, setting: SpringSetting) -> Coil | None:
        """The whole setting as one spring, or None as long as any of its springs is unknown."""
        readings = [self.reading(token) for token in setting.tokens]
        known = [reading.coil for reading in readings if reading]
        return parallel(known) if len(known) == len(readings) else None

    def mean_force_n(self, setting: SpringSetting) -> float | None:
        """The setting's force on average over the travel, or None as long as it is unknown."""
        readings = [self.reading(token) for token in setting.tokens]
        known = [reading.mean_force_n for reading in readings if reading]
        return sum(known) if len(known) == len(readings) else None


@dataclass(frozen=True, slots=True)
class Equivalent:
    """A setting that feels much like another.

    Attributes:
        difference_pct: how much heavier it is, in per cent of the other; negative is lighter.
        big_step: the difference is one to warn of.
    """

    setting: SpringSetting
    difference_pct: float
    big_step: bool


@dataclass(frozen=True, slots=True)
class Equivalents:
    """At most three settings, nearest first; `by_rank` when springs were ranked, not measured."""

    nearest: tuple[Equivalent, ...]
    by_rank: bool


def equivalents(setting: SpringSetting, on: Calibration, other: Calibration) -> Equivalents:
    """The settings of the other apparatus that feel most like this one.

    Measured on both sides, settings are compared by mean force over the travel; of the other
    apparatus only measured springs count. Otherwise all its settings are compared by rank, each as
    a share of the heaviest its apparatus can take.

    Raises:
        SpringError: one of the two has no springs, or the setting isn't the first's or is empty.
    """
    on.apparatus.set(setting.tokens)
    if not setting.tokens:
        raise SpringError(f"no spring on the {on.apparatus.name} feels like no spring anywhere")
    aim = on.mean_force_n(setting)
    measured = [s for s in possible_settings(other.apparatus) if other.mean_force_n(s)]
    if aim is not None and measured:
        return Equivalents(_nearest(aim, measured, lambda s: other.mean_force_n(s) or 0.0), False)
    ranked = [s for s in possible_settings(other.apparatus) if s.tokens]
    if not ranked:
        raise SpringError(f"the {other.apparatus.name} has no springs")
    by_share = _nearest(share(on.apparatus, setting), ranked, lambda s: share(other.apparatus, s))
    return Equivalents(by_share, True)


def _nearest(
    aim: float, settings: list[SpringSetting], value: Callable[[SpringSetting], float]
) -> tuple[Equivalent, ...]:
    """The nearest settings; between equals the lighter, then the one with fewer springs."""
    off = {s: round((value(s) / aim - 1) * 100, RANK_DECIMALS) for s in settings}
    order = sorted(settings, key=lambda s: (abs(off[s]), off[s], len(s.tokens), s.tokens))
    return tuple(
        Equivalent(s, off[s], abs(off[s]) > BIG_STEP_PCT) for s in order[:MOST_EQUIVALENTS]
    )

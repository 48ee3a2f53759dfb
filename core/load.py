"""Forces of springs: Hooke's law, springs side by side and end to end, a pedal, a leg, a carriage.

Lengths are metres, forces newtons, angles degrees. No stiffness is built in anywhere: springs
differ by maker and age, so each stiffness comes from the instructor's own scale (core.calibration).
A coil spring pulls by how far it is stretched; a rubber band, by the share of its own length.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, radians, sin

from core.errors import OverstretchError, ReadingError

KGF_N = 9.80665  # one kilogram-force, exact by definition (standard gravity, SI)
LBF_N = 4.4482216152605  # one pound-force, exact by definition
INCH_M = 0.0254  # exact by definition
# A spring pulled to twice its rest length stays longer (load-cell test, Morais Netto et al.,
# Perspectivas Online, article 333, abstract): the refusal begins at this share, not above it.
TOO_FAR = 1.0


@dataclass(frozen=True, slots=True)
class Coil:
    """A coil spring, or several acting as one.

    Attributes:
        stiffness_n_per_m: how much harder it pulls for each metre of stretch.
        preload_n: the pull at no stretch beyond where counting begins.
        rest_length_m: its length when nothing pulls, or None where nobody measured it; only a coil
            that knows its length can refuse to be pulled too far.
    """

    stiffness_n_per_m: float
    preload_n: float = 0.0
    rest_length_m: float | None = None

    def __post_init__(self) -> None:
        if self.stiffness_n_per_m < 0 or self.preload_n < 0:
            raise ReadingError(
                "a spring never pushes, and pulls harder the further it is stretched"
            )
        if self.rest_length_m is not None and self.rest_length_m <= 0:
            raise ReadingError("a spring at rest is longer than nothing")

    def force_n(self, stretch_m: float) -> float:
        """The pull at this stretch; a slack spring (stretch below 0) doesn't pull.

        Raises:
            OverstretchError: the stretch reaches the spring's rest length.
        """
        if self.rest_length_m is not None:
            refuse_overstretch(stretch_m, self.rest_length_m)
        return self.preload_n + self.stiffness_n_per_m * stretch_m if stretch_m >= 0 else 0.0

    def work_j(self, from_m: float, to_m: float) -> float:
        """Joules to pull it from one stretch to another; negative on the way back."""
        a, b = max(0.0, from_m), max(0.0, to_m)
        return self.preload_n * (b - a) + self.stiffness_n_per_m * (b**2 - a**2) / 2


def refuse_overstretch(stretch_m: float, rest_length_m: float) -> None:
    """Nothing, when the stretch is safe for the spring.

    Raises:
        OverstretchError: the stretch is the spring's rest length or more.
    """
    if stretch_m >= TOO_FAR * rest_length_m:
        raise OverstretchError(
            f"a spring {rest_length_m * 100:.0f} cm long would be pulled {stretch_m * 100:.0f} cm "
            "further and could stay longer: hook it closer, shorten the travel or use a longer one"
        )


def parallel(coils: Sequence[Coil]) -> Coil:
    """One coil that pulls like these side by side: stiffness and preload add up.

    Its rest length is the shortest that is known: that spring is the first to be pulled too far.
    """
    lengths = [c.rest_length_m for c in coils if c.rest_length_m is not None]
    return Coil(
        sum(c.stiffness_n_per_m for c in coils),
        sum(c.preload_n for c in coils),
        min(lengths, default=None),
    )


def series_n_per_m(stiffnesses_n_per_m: Sequence[float]) -> float:
    """The stiffness of springs end to end: reciprocals add up.

    Raises:
        ReadingError: no spring, or one without stiffness.
    """
    if not stiffnesses_n_per_m or min(stiffnesses_n_per_m) <= 0:
        raise ReadingError("springs end to end each need a stiffness above 0")
    return 1 / sum(1 / k for k in stiffnesses_n_per_m)


def kgf_to_n(force_kgf: float) -> float:
    """Newtons of what a scale shows in kilograms."""
    return force_kgf * KGF_N


def lbf_to_n(force_lbf: float) -> float:
    """Newtons of what a scale shows in pounds."""
    return force_lbf * LBF_N


def torque_n_m(force_n: float, arm_m: float, angle_deg: float) -> float:
    """Torque of a force at the end of an arm, by the angle between the two."""
    return force_n * arm_m * sin(radians(angle_deg))


@dataclass(frozen=True, slots=True)
class PedalLever:
    """A pedal hinged at the origin, equal springs from it to a hook straight above the hinge.

    Attributes:
        lever_m: hinge to foot.
        hook_m: hinge to where the springs hold the lever.
        anchor_m: height of the upper hook above the hinge; a higher notch is further up.
        rest_length_m: length of a spring when nothing pulls.
        stiffness_n_per_m: of one spring.
        springs: how many equal springs are hooked.
    """

    lever_m: float
    hook_m: float
    anchor_m: float
    rest_length_m: float
    stiffness_n_per_m: float
    springs: int = 1

    def length_m(self, angle_deg: float) -> float:
        """Length of a spring with the lever at this angle above horizontal."""
        angle = radians(angle_deg)
        return hypot(self.hook_m * cos(angle), self.anchor_m - self.hook_m * sin(angle))

    def stretch_m(self, angle_deg: float) -> float:
        """How far a spring is pulled beyond its rest length; negative when it hangs slack."""
        return self.length_m(angle_deg) - self.rest_length_m

    def torque_n_m(self, angle_deg: float) -> float:
        """Torque of all springs about the hinge, lifting the pedal."""
        pull = self.springs * Coil(self.stiffness_n_per_m).force_n(self.stretch_m(angle_deg))
        if pull <= 0:
            return 0.0
        arm = self.hook_m * self.anchor_m * cos(radians(angle_deg)) / self.length_m(angle_deg)
        return pull * arm

    def foot_force_n(self, angle_deg: float) -> float:
        """Force of the pedal against the foot, square to the lever."""
        return self.torque_n_m(angle_deg) / self.lever_m


@dataclass(frozen=True, slots=True)
class AnchoredLeg:
    """A straight leg turning about the hip at the origin, a spring from the foot to an anchor.

    Attributes:
        leg_m: hip to foot.
        anchor_x_m, anchor_y_m: the anchor, x towards the feet and y up.
        rest_length_m: length of the spring when nothing pulls.
        stiffness_n_per_m: of the spring.
    """

    leg_m: float
    anchor_x_m: float
    anchor_y_m: float
    rest_length_m: float
    stiffness_n_per_m: float

    def torque_n_m(self, angle_deg: float) -> float:
        """Torque of the spring about the hip with the leg at this angle above horizontal.

        Positive lifts the leg (towards flexion). The sign can change within one movement, and does
        with a low anchor, so neither a stronger spring nor a lower anchor is simply "harder"
        (Silva et al. 2009, Rev Bras Fisioter 13(1), abstract).
        """
        angle = radians(angle_deg)
        foot_x, foot_y = self.leg_m * cos(angle), self.leg_m * sin(angle)
        to_x, to_y = self.anchor_x_m - foot_x, self.anchor_y_m - foot_y
        length = hypot(to_x, to_y)
        pull = Coil(self.stiffness_n_per_m).force_n(length - self.rest_length_m)
        return pull * (foot_x * to_y - foot_y * to_x) / length if pull > 0 else 0.0


def carriage_force_n(coils: Sequence[Coil], travel_m: float) -> float:
    """Force on a carriage that has moved this far from its stop.

    Raises:
        OverstretchError: a spring that knows its rest length would be pulled too far.
    """
    return sum(coil.force_n(travel_m) for coil in coils)


def carriage_curve(
    coils: Sequence[Coil], longest_m: float, points: int = 21
) -> tuple[tuple[float, float], ...]:
    """Travel in metres and force in newtons, from the stop to the furthest position."""
    travels = [longest_m * k / (points - 1) for k in range(points)]
    return tuple((travel, carriage_force_n(coils, travel)) for travel in travels)

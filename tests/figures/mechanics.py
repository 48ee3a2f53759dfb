"""What `core.load` and `core.calibration` make of the examples in mechanics.toml."""

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from core.calibration import Reading
from core.errors import OverstretchError
from core.load import (
    INCH_M,
    KGF_N,
    LBF_N,
    AnchoredLeg,
    Coil,
    PedalLever,
    carriage_curve,
    kgf_to_n,
    lbf_to_n,
    parallel,
    refuse_overstretch,
    series_n_per_m,
    torque_n_m,
)
from tests.figures.figure import Computation, Figure


def hooke_force(figure: Figure) -> list[float]:
    """Forces with and without preload."""
    g = figure.given
    pairs = zip(g["preload_n"], g["stretch_m"], strict=True)
    return [Coil(g["stiffness_n_per_m"], f0).force_n(x) for f0, x in pairs]


def spring_energy(figure: Figure) -> float:
    """Energy from slack."""
    return Coil(figure.given["stiffness_n_per_m"]).work_j(0, figure.given["stretch_m"])


def spring_work(figure: Figure) -> float:
    """Work between two stretches."""
    g = figure.given
    return Coil(g["stiffness_n_per_m"]).work_j(g["from_m"], g["to_m"])


def springs_parallel(figure: Figure) -> list[float]:
    """Stiffness side by side."""
    sets = figure.given["stiffness_n_per_m"]
    return [parallel([Coil(k) for k in ks]).stiffness_n_per_m for ks in sets]


def springs_series(figure: Figure) -> list[float]:
    """Stiffness end to end."""
    return [series_n_per_m(ks) for ks in figure.given["stiffness_n_per_m"]]


def linear_in_stretch(figure: Figure) -> list[float]:
    """Second differences of the force."""
    g = figure.given
    forces = [Coil(g["stiffness_n_per_m"], g["preload_n"]).force_n(x) for x in g["stretch_m"]]
    steps = [b - a for a, b in pairwise(forces)]
    return [b - a for a, b in pairwise(steps)]


def unit_factors(_: Figure) -> list[float]:
    """The constants themselves."""
    return [KGF_N, LBF_N, INCH_M]


def unit_conversions(_: Figure) -> list[float]:
    """Stiffnesses and a force in other units."""
    return [kgf_to_n(20), lbf_to_n(1) / INCH_M, kgf_to_n(1) / LBF_N]


def torque_angle(figure: Figure) -> list[float]:
    """Torque at each angle."""
    g = figure.given
    return [torque_n_m(g["force_n"], g["arm_m"], angle) for angle in g["angle_deg"]]


def leg_in_spring(given: Mapping[str, Any], anchor_m: tuple[float, float]) -> AnchoredLeg:
    """The leg given, its spring held at this anchor."""
    x, y = anchor_m
    return AnchoredLeg(given["leg_m"], x, y, given["rest_length_m"], given["stiffness_n_per_m"])


def anchor_turns_torque(figure: Figure) -> int:
    """How often the torque changes sign, degree by degree; slack counts for neither side."""
    g = figure.given
    leg = leg_in_spring(g, g["anchor_m"])
    lifting = [t > 0 for angle in range(91) if (t := leg.torque_n_m(angle))]
    return sum(a != b for a, b in pairwise(lifting))


def carriage_peak(figure: Figure) -> float:
    """The travel at which the carriage pulls hardest."""
    g = figure.given
    coils = [Coil(k, f) for k, f in zip(g["stiffness_n_per_m"], g["preload_n"], strict=True)]
    return max(carriage_curve(coils, g["travel_m"]), key=lambda point: point[1])[0]


def two_point_stiffness(figure: Figure) -> float:
    """Stiffness from two scale readings."""
    (light, heavy), (near, far) = figure.given["kg"], figure.given["at_m"]
    return Reading("spring", light, heavy, far - near).stiffness_n_per_m


def stretch_refused(figure: Figure) -> list[bool]:
    """Whether each stretch is refused."""
    rest = figure.given["rest_length_m"]

    def refused(share: float) -> bool:
        try:
            refuse_overstretch(share * rest, rest)
        except OverstretchError:
            return True
        return False

    return [refused(share) for share in figure.given["share"]]


def pedal_lever(figure: Figure) -> list[list[float]]:
    """Spring length, force, arm, torque and foot force for each hook and angle."""
    g = figure.given
    rows: list[list[float]] = []
    for anchor in g["anchor_m"]:
        lever = PedalLever(
            g["lever_m"], g["hook_m"], anchor, g["rest_length_m"], g["stiffness_n_per_m"]
        )
        for angle in g["angle_deg"]:
            force = Coil(lever.stiffness_n_per_m).force_n(lever.stretch_m(angle))
            torque = lever.torque_n_m(angle)
            foot = lever.foot_force_n(angle)
            rows.append([lever.length_m(angle), force, torque / force, torque, foot])
    return rows


def leg_and_anchor(figure: Figure) -> dict[str, list[float]]:
    """Torque at each angle with a high and a low anchor."""
    g = figure.given
    legs = {name: leg_in_spring(g, g[name]) for name in ("high", "low")}
    return {name: [leg.torque_n_m(a) for a in g["angle_deg"]] for name, leg in legs.items()}


COMPUTED: dict[str, Computation] = {
    "hooke-force": hooke_force,
    "spring-energy": spring_energy,
    "spring-work": spring_work,
    "springs-parallel": springs_parallel,
    "springs-series": springs_series,
    "linear-in-stretch": linear_in_stretch,
    "unit-factors": unit_factors,
    "unit-conversions": unit_conversions,
    "torque-angle": torque_angle,
    "anchor-turns-torque": anchor_turns_torque,
    "carriage-peak": carriage_peak,
    "two-point-stiffness": two_point_stiffness,
    "stretch-refused": stretch_refused,
    "pedal-lever": pedal_lever,
    "leg-and-anchor": leg_and_anchor,
}

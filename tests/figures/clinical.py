"""Clinical figures computed from the cautions and the readiness table, for clinical.toml."""

from collections import Counter
from datetime import date, timedelta

from core.caution import Kind, minded, verdict
from core.caution_record import shipped_cautions
from core.client import Client, ClientId, Flag
from core.exercise import Demand
from core.repertoire import shipped
from core.screening import (
    TABLE,
    Answers,
    Outcome,
    glucose_band,
    hypermobile,
    pressure_details,
    screen,
    to_mmol,
)
from tests.figures.figure import Computation, Figure

TODAY = date(2027, 3, 1)
NO_CLEARANCE = (Outcome.START, Outcome.START_GENTLY, Outcome.CONTINUE)
FRACTURE = Flag("osteoporosis", details=("spine fracture",))


def readiness(figure: Figure) -> dict[str, str]:
    """The outcome of each row, by its letters."""
    return {
        row: str(screen(Answers("a" in row[:3], "d" in row[:3], "s" in row[:3], "vig" in row)))
        for row in figure.value
    }


def readiness_counts(_: Figure) -> dict[str, int]:
    """How many rows have each outcome."""
    return dict(Counter("none" if o in NO_CLEARANCE else str(o) for o in TABLE.values()))


def per_cent(figure: Figure) -> dict[str, float]:
    """Parts of wholes in per cent."""
    return {name: 100 * part / whole for name, (part, whole) in figure.given.items()}


def people(figure: Figure) -> int:
    """The groups together."""
    return sum(figure.given["groups"])


def kind(exercise: str, flag: Flag) -> Kind:
    """The verdict on an exercise with one flag."""
    person = Client(ClientId(1), "A", flags=(flag,))
    return verdict(person, shipped()[exercise], TODAY, shipped_cautions(), shipped()).kind


def unflagged(figure: Figure) -> list[str]:
    """The exercises that pass as they are with a spine fracture."""
    return [e for e in figure.given["exercises"] if kind(e, FRACTURE) is Kind.FINE]


def flagged(figure: Figure) -> list[str]:
    """The exercises that do not."""
    return [e for e in figure.given["exercises"] if kind(e, FRACTURE) is not Kind.FINE]


def rises(figure: Figure) -> dict[str, int]:
    """Pressure after less pressure before."""
    return {name: after - before for name, (before, after) in figure.given.items()}


def order(figure: Figure) -> list[str]:
    """Positions by their rise."""
    found = rises(figure)
    return sorted(found, key=lambda name: -found[name])


def without_head_down(figure: Figure) -> list[str]:
    """Exercises of these names without the demand, or fine with glaucoma."""
    named = [
        e for e in shipped().exercises.values() if any(w in e.id for w in figure.given["words"])
    ]
    assert len(named) >= len(figure.given["words"])
    return [
        e.id
        for e in named
        if Demand.HEAD_BELOW_HEART not in e.demands or kind(e.id, Flag("glaucoma")) is Kind.FINE
    ]


def units(figure: Figure) -> dict[str, float]:
    """Readings in mg/dL as mmol/L."""
    return {mg: to_mmol(float(mg)) for mg in figure.value}


def band_edges(figure: Figure) -> dict[str, float]:
    """The readings at which a band begins, as mmol/L."""
    edges = [mg for mg in range(40, 500) if glucose_band(mg) != glucose_band(mg - 1)]
    return {str(mg): to_mmol(mg) for mg in edges}


def over(figure: Figure) -> dict[str, bool]:
    """Whether each reading is over the line."""
    found: dict[str, bool] = {}
    for reading in figure.value:
        systolic, diastolic = map(int, reading.split("/"))
        found[reading] = figure.given["line"] in pressure_details(systolic, diastolic)
    return found


def cut_offs(_: Figure) -> dict[str, int]:
    """The least score that counts, by age."""
    cases = {"before puberty": (9, True), "up to 50": (50, False), "over 50": (51, False)}
    return {
        name: next(n for n in range(10) if hypermobile(n, age, before))
        for name, (age, before) in cases.items()
    }


def first_held(detail: str) -> list[int]:
    """The week and day of pregnancy at which this detail first holds a person back."""
    for days in range(1, 290):
        flag = Flag("pregnancy", due=TODAY + timedelta(days=280 - days), details=(detail,))
        if minded((flag,), TODAY, shipped_cautions()).binding:
            return list(divmod(days, 7))
    return []


def jumping_weeks(_: Figure) -> int:
    """The first week after a birth at which jumping is not avoided."""
    return next(
        n
        for n in range(60)
        if Demand.JUMPING
        not in minded(
            (Flag("after-birth", event=TODAY - timedelta(weeks=n)),), TODAY, shipped_cautions()
        ).avoid
    )


def check_weeks(_: Figure) -> int:
    """The first week after a birth at which moderate work does not ask for the check."""

    def asked(n: int) -> bool:
        flag = Flag("after-birth", event=TODAY - timedelta(weeks=n))
        found = minded((flag,), TODAY, shipped_cautions()).reasons
        return any(reason.rule.id == "POST-1" for reason in found)

    return next(n for n in range(60) if not asked(n))


COMPUTED: dict[str, Computation] = {
    "readiness-table": readiness,
    "readiness-counts": readiness_counts,
    "wedging-by-exercise": per_cent,
    "wedging-people": people,
    "spine-fracture-flagged": unflagged,
    "spine-fracture-neutral": flagged,
    "eye-pressure-rise": rises,
    "eye-pressure-order": order,
    "head-down-tag": without_head_down,
    "hip-dislocation": per_cent,
    "glucose-units": units,
    "glucose-band-edges": band_edges,
    "pressure-bar": over,
    "pressure-stop": over,
    "score-cut-offs": cut_offs,
    "twins-week": lambda _: first_held("twins"),
    "praevia-week": lambda _: first_held("placenta praevia"),
    "jumping-after-birth": jumping_weeks,
    "medical-check-weeks": check_weeks,
}

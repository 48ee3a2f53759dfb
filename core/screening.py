"""Readiness: four plain answers -> the outcome of the published table; readings -> bands.

The table is the logic of Riebe et al. 2015 (riebe-2015) in own words; the questions are the
project's own and no published form is reproduced. An outcome says what to ask for, never that
somebody is fit: the clinician, the licence and local codes come first.
"""

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import product

MG_A_MMOL = 18.0156  # mg/dL of glucose in 1 mmol/L (molar mass 180.156 g)

# Questions by key, in the order asked; bot/wording says them in plain words.
QUESTIONS = ("active", "disease", "symptoms", "vigorous")

# "Active now" (EVIDENCE_CLINICAL SCR-2): planned, moderate, for so long at least.
ACTIVE_MINUTES, ACTIVE_DAYS, ACTIVE_MONTHS = 30, 3, 3

# Keys of the nine signs (acsm-signs); any of them means "symptoms: yes".
SYMPTOMS = (
    "pain in chest, neck, jaw or arm",
    "breathless at rest or with little effort",
    "dizzy or faint",
    "breathless lying down or at night",
    "ankle swelling",
    "palpitations or fast heart",
    "leg pain in walking that stops at rest",
    "known heart murmur",
    "unusual fatigue with usual activity",
)


class Outcome(StrEnum):
    """What the table asks for, as a key of the sentence that says it."""

    START = "start light to moderate"
    START_GENTLY = "start light to moderate, then progress"
    CONTINUE = "continue"
    RECENT_CLEARANCE = "clearance within the last 12 months"
    CLEARANCE = "clearance first"
    STOP = "stop, clearance"


class Policy(StrEnum):
    """Whose word holds for diabetes without symptoms (DIA-7); the first is the default."""

    ACSM = "clearance for anyone inactive"
    ADA = "none for light to moderate work"


@dataclass(frozen=True, slots=True)
class Answers:
    """The four answers.

    Attributes:
        active: exercises regularly now, as `is_active` counts it.
        disease: known disease of heart, vessels or kidneys, or diabetes; lungs alone do not count.
        symptoms: one of SYMPTOMS, whatever the disease.
        vigorous: wants vigorous work, not only light to moderate.
        only_diabetes: the disease is diabetes and nothing else.
    """

    active: bool
    disease: bool
    symptoms: bool
    vigorous: bool
    only_diabetes: bool = False


def _rows() -> Mapping[tuple[bool, bool, bool, bool], Outcome]:
    branches = {  # active, disease (None: any), symptoms -> light to moderate, vigorous
        (False, False, False): (Outcome.START, Outcome.START_GENTLY),
        (False, True, False): (Outcome.CLEARANCE, Outcome.CLEARANCE),
        (False, None, True): (Outcome.CLEARANCE, Outcome.CLEARANCE),
        (True, False, False): (Outcome.CONTINUE, Outcome.CONTINUE),
        (True, True, False): (Outcome.CONTINUE, Outcome.RECENT_CLEARANCE),
        (True, None, True): (Outcome.STOP, Outcome.STOP),
    }
    rows: dict[tuple[bool, bool, bool, bool], Outcome] = {}
    for active, disease, symptoms, vigorous in product((False, True), repeat=4):
        branch = branches[active, None if symptoms else disease, symptoms]
        rows[active, disease, symptoms, vigorous] = branch[vigorous]
    return rows


TABLE = _rows()


def screen(answers: Answers, policy: Policy = Policy.ACSM) -> Outcome:
    """The outcome of the table for these answers."""
    spared = answers.only_diabetes and not (answers.symptoms or answers.vigorous or answers.active)
    if policy is Policy.ADA and answers.disease and spared:
        return Outcome.START
    return TABLE[answers.active, answers.disease, answers.symptoms, answers.vigorous]


def is_active(minutes: int, days: int, months: int) -> bool:
    """Whether so many minutes a time, days a week and months so far count as active now."""
    return minutes >= ACTIVE_MINUTES and days >= ACTIVE_DAYS and months >= ACTIVE_MONTHS


def pressure_details(systolic: int, diastolic: int, in_effort: bool = False) -> tuple[str, ...]:
    """The details of high blood pressure that a reading in mmHg means; every line is "over"."""
    if in_effort:
        return ("over 250/115 in effort",) if systolic > 250 or diastolic > 115 else ()
    lines = ((200, 110), (180, 110), (160, 100))  # acsm-pressure; williams-2007 twice
    return tuple(f"over {s}/{d}" for s, d in lines if systolic > s or diastolic > d)


def glucose_detail(mmol: float) -> str:
    """The detail of diabetes that a reading in mmol/L means at the start, or nothing."""
    edges = (2.9, 4.0, 90 / MG_A_MMOL, 150 / MG_A_MMOL, 250 / MG_A_MMOL)
    names = ("glucose under 2.9", "glucose under 4", "glucose 4 to 5", "glucose 5 to 8.3", "", "")
    if mmol > 15.0:
        return "glucose over 15"
    place = bisect_right(edges, mmol)
    return "glucose 13.9 to 15" if place == len(edges) else names[place]


def glucose_band(mg: float) -> int:
    """The band of a reading in mg/dL, 1 to 5; an edge belongs to the upper band (glucose-bands)."""
    return 1 + bisect_right((90, 150, 250, 350), mg)


def glucose_band_type_1(mmol: float) -> int:
    """The band of a reading in mmol/L with type 1, 1 to 5 (turner-2019).

    Carbohydrate first below 5; strength or hard work may start from 5; go from 7; go and watch
    above 10; a ketone test above 15.
    """
    return 1 + (mmol >= 5) + (mmol >= 7) + (mmol > 10) + (mmol > 15)


def to_mmol(mg: float) -> float:
    """A glucose reading in mg/dL as mmol/L."""
    return mg / MG_A_MMOL


def hypermobile(score: int, age: int, before_puberty: bool = False, history: int = 0) -> bool:
    """Whether a nine-point score reaches its cut-off (heds-2017); it decides no rule by itself.

    Args:
        history: how many of the five history questions were answered yes.
    """
    cut = 6 if before_puberty else 5 if age <= 50 else 4
    return score >= cut or (score == cut - 1 and history >= 2)


def high_lung_pressure(mean: float) -> bool:
    """Whether a mean pulmonary pressure in mmHg is on the list of bars (williams-2007)."""
    return mean > 55


def pulse_cap(onset: int) -> int:
    """The highest pulse with angina that begins at `onset` beats a minute (colberg-2016)."""
    return onset - 10

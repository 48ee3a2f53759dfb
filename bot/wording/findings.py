"""A sentence for each finding of the rules and each reason why there is no plan."""

from collections.abc import Callable

from core.plan import Finding
from core.repertoire import Repertoire

Sentence = Callable[[tuple[str, ...], Repertoire], str]


def note(finding: Finding, repertoire: Repertoire) -> str:
    """The finding in a sentence, the place named where there is one."""
    text = SENTENCES[finding.rule](finding.facts, repertoire)
    return f"{finding.place}: {text}" if finding.place else text


def _name(fact: str, repertoire: Repertoire) -> str:
    e = next((e for e in repertoire.exercises.values() if e.id == fact), None)
    return e.name if e else fact


SENTENCES: dict[str, Sentence] = {
    "slot": lambda f, _: f"It would last {int(f[0]) // 60} min, not {int(f[1]) // 60}.",
    "clock": lambda _, __: "The clock does not add up here.",
    "phases": lambda _, __: "A part of the class is missing or out of order.",
    "phase-allowed": lambda f, _: f"This does not belong in the {f[0]}.",
    "share": lambda f, _: f"The {f[0]} would take {f[1]} % of the class.",
    "level-step": lambda _, __: "The level jumps by two here.",
    "level-top": lambda f, _: f"This is level {f[0]}, above the class.",
    "preparation": lambda f, r: f"This wants {_name(f[0], r)} before it.",
    "family": lambda f, _: f"{f[0].capitalize()} is there twice.",
    "twice": lambda f, _: f"{f[0]} is there twice.",
    "series-broken": lambda f, _: f"The series {f[0]} is broken up.",
    "series-order": lambda f, _: f"The series {f[0]} is out of order.",
    "reps": lambda f, _: f"{f[0]} repetitions is outside its range.",
    "sides": lambda _, __: "There is no time for the second side.",
    "must": lambda f, r: f"There was no room for {_name(f[0], r)}.",
    "without": lambda f, _: f"This asks for {f[0]}, which the class does without.",
    "apparatus": lambda f, _: f"This needs the {f[0]}.",
    "apparatus-unused": lambda f, _: f"The {f[0]} would stand unused.",
    "focus-unmet": lambda f, _: f"Nothing here serves the focus {f[0]}.",
    "run": lambda f, _: f"{f[1]} in a row work the {f[0]}.",
    "direction": lambda f, _: f"No {f[0]}: what you left out or the apparatus allows none.",
    "flexion-heavy": lambda f, _: f"{f[0]} flexions to {f[1]} extensions is too many.",
    "summit": lambda _, __: "The hardest work is not at two thirds of the class.",
    "gentle": lambda f, _: f"This is too hard for the {f[0]}.",
    "waits": lambda f, _: f"{f[0]} does nothing before a clinician has answered: ask first.",
    "must-avoid": lambda f, _: f"{f[0]} must not do {f[1]} ({f[2]}).",
    "insisted": lambda f, _: f"{f[0]} is cautioned against this ({f[2]}); you insisted.",
    "must-apparatus": lambda f, _: f"{f[0]} needs the {f[1]}, and this class has none.",
    "must-barred": lambda f, _: (
        f"You asked for {f[0]} and for no {' or '.join(f[1:])}: they rule each other out."
    ),
    "must-twice": lambda f, _: f"{f[0]} and {f[1]} are one movement in two forms: choose one.",
    "pool-empty": lambda _, __: "Nothing in the library is left after what you left out.",
    "too-little": lambda f, _: (
        f"All that is left fills {f[1]} min of the {f[0]}, and it needs {f[2]}."
    ),
}

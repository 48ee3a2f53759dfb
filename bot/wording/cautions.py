"""What somebody does instead, why, and by whose word; signs of an emergency; readiness.

Nothing said here clears anybody: it tells what is usually minded, and who is to be asked.
"""

from collections.abc import Iterable, Mapping, Sequence

from bot.wording.phrases import listed, wrapped
from core.caution import Kind, Reason, Verdict
from core.caution_rule import UNKNOWN, Action, Cautions, Rule
from core.client import Side
from core.red_flags import Alarm
from core.screening import Outcome

NOBODY = (
    "I know of nobody in this class, so nobody's cautions are looked at. Make it for a group or by "
    "name, or say mods and a group."
)
NOTHING = "Nothing to change, as far as I have been told: {names}."
BOTH_SIDES = "Not looked at: {names}."
FINE = "{name}, {exercise}: fine, as far as I have been told."
CHANGES_TODAY = "In this class that changes for {name}:"
CHANGES_NOTHING = "In this class nothing more changes for {name}."
NO_CLASS = "There is no class yet to look at."
REFIT = "Re-fit the class"
UNCHANGED = "The class itself is not changed."
FOR_TODAY = "Taken for today; I ask about it again tomorrow."
KEEP_AS = "About {name}. What shall I do with it?"
WHICH_PERSON = "Whom is that about?"

SIGNS: Mapping[str, str] = {
    "red-flag-emergency": (
        "STOP now. “{words}” can be an emergency: call your emergency number, stay with the person "
        "and follow what they tell you."
    ),
    "red-flag-stop": (
        "STOP the session for this person. “{words}” needs medical help today, before any "
        "exercise; if it is severe or getting worse, call your emergency number."
    ),
    "red-flag-ask": (
        "Ask before going on: “{words}”. If it is new, strong or does not settle, stop and have it "
        "seen by a doctor."
    ),
    "red-flag-denied": (
        "You write of no “{words}”. Please make sure; if it is there, stop and seek medical help."
    ),
}

QUESTIONS: Mapping[str, str] = {
    "active": (
        "1 of 4. Does {name} move regularly now: half an hour on three days a week or more, for "
        "three months or longer, so that breathing gets faster?"
    ),
    "disease": (
        "2 of 4. Has a doctor ever found something with the heart, the blood vessels or the "
        "kidneys of {name}, or diabetes?"
    ),
    "symptoms": (
        "3 of 4. Does {name} notice any of these: pain or pressure in chest, neck, jaw or arm; "
        "short of breath at rest, lying down or with little effort; dizzy or faint; swollen "
        "ankles; a racing or uneven heart; pain in the legs in walking that stops at rest; a "
        "heart murmur; unusual tiredness?"
    ),
    "vigorous": "4 of 4. Does {name} want hard, breathless work, not only light to moderate?",
}
YES, NO = "Yes", "No"
OUTCOMES: Mapping[Outcome, str] = {
    Outcome.START: "Usually begun with light to moderate work, and watched.",
    Outcome.START_GENTLY: (
        "Usually begun with light to moderate work; harder work comes little by little."
    ),
    Outcome.CONTINUE: "Usually goes on as now, with changes in small steps.",
    Outcome.RECENT_CLEARANCE: (
        "Light to moderate work usually goes on; for hard work a doctor's word from the last "
        "twelve months is needed first."
    ),
    Outcome.CLEARANCE: "A doctor's word is needed first, before any exercise.",
    Outcome.STOP: "STOP exercising for now: a doctor has to be asked before it goes on.",
}
ANSWERED = "{name}, {day}: {outcome}"
NOT_FIT = "This is what a published table asks for with these answers; it says nobody is fit."
TABLE_SOURCE = "Table: Riebe et al., Med Sci Sports Exerc 47(11), 2015."
AGAIN = "Ask again"


def of_class(
    people: Sequence[tuple[str, Sequence[tuple[int | None, Verdict]], Sequence[Reason]]],
    cautions: Cautions,
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Everybody who needs something, in one line those who need nothing; and the reasons, numbered.

    Args:
        people: name, verdicts by place, and what holds whatever is taught.
    """
    numbers: dict[str, int] = {}
    rules: list[Reason] = []
    texts, nothing = [], []
    for name, found, always in people:
        lines = _person(found, always, numbers, rules)
        if lines:
            where = sides((r for _, v in found for r in (*v.reasons, *always)), cautions)
            texts.append("\n".join([wrapped(f"{name}{where}"), *lines]))
        else:
            nothing.append(name)
    if nothing:
        texts.append(wrapped(NOTHING.format(names=listed(nothing))))
    return tuple(texts), tuple(_reason(numbers[r.rule.id], r.rule) for r in rules)


def short(found: Iterable[tuple[int | None, Verdict]]) -> str:
    """What somebody does instead, a line a place, without reasons."""
    binding = [v for _, v in found if v.kind is Kind.ASK_FIRST and _binding(v)]
    if binding:
        return wrapped("· " + (STOP_ALL if binding[0].stop else ASK_ALL), "  ")
    return "\n".join(_line(place, v, "") for place, v in found if v.kind is not Kind.FINE)


def of_movement(name: str, v: Verdict, cautions: Cautions) -> tuple[str, ...]:
    """One movement for one person: what to do, and every reason in full."""
    if v.kind is Kind.FINE:
        said = [wrapped(FINE.format(name=name, exercise=v.exercise.name))]
    else:
        said = [wrapped(f"{name}{sides(v.reasons, cautions)}, {v.exercise.name}: {_what(v)}.")]
    if v.stop:
        said.insert(0, wrapped(STOP_ALL))
    texts = ["\n".join(said)]
    if v.reasons:
        rules = {r.rule.id: r.rule for r in v.reasons}  # two flags may bring the same one
        texts.append("\n".join(_reason(n, rule) for n, rule in enumerate(rules.values(), 1)))
    if v.notes:
        texts.append("\n".join(wrapped(f"· {_noted(r)}", "  ") for r in v.notes))
    return tuple(texts)


def alarm(found: Alarm) -> str:
    """What is said first, before anything else."""
    return wrapped(SIGNS[found.sentence].format(words=found.words))


def outcome(name: str, day: str, found: Outcome) -> str:
    """What the table asks for, in plain words."""
    return wrapped(ANSWERED.format(name=name, day=day, outcome=OUTCOMES[found]))


def answered(name: str, day: str, kept: str) -> str:
    """What was asked for when the questions were last answered."""
    known = {each.value: text for each, text in OUTCOMES.items()}
    text = next((known[key] for key in known if key == kept), kept)
    return "Readiness: " + ANSWERED.format(name=name, day=day, outcome=text)


def sides(reasons: Iterable[Reason], cautions: Cautions) -> str:
    """ " (left wrist)": the sides that these reasons are about; empty where none was said.

    They are said and change nothing: what one side does may still lean or land on the other.
    """
    flags = dict.fromkeys(r.flag for r in reasons if r.flag.side is not Side.NONE)
    said = []
    for flag in flags:
        condition = cautions.conditions.get(flag.condition)
        if condition is None or condition.id == UNKNOWN:
            continue
        part = condition.name[:1].lower() + condition.name[1:]
        said.append(f"{part}, both sides" if flag.side is Side.BOTH else f"{flag.side} {part}")
    return f" ({listed(list(dict.fromkeys(said)))})" if said else ""


STOP_ALL = "not in class: stop and seek medical help first"
ASK_ALL = "nothing before a clinician has been asked"


def _person(
    found: Sequence[tuple[int | None, Verdict]],
    always: Sequence[Reason],
    numbers: dict[str, int],
    rules: list[Reason],
) -> list[str]:
    needing = [(place, v) for place, v in found if v.kind is not Kind.FINE]
    general = [r for r in always if not r.only_note]
    binding = [r for r in general if r.binding]
    if binding:
        stop = any(r.rule.action is Action.STOP for r in binding)
        marks = _marks(binding, numbers, rules)
        asked = [f"“{r.flag.words[:60]}”" for r in binding if r.rule.condition == UNKNOWN]
        about = f": what is {listed(list(dict.fromkeys(asked)), 'or')}?" if asked else ""
        return [wrapped(f"· {STOP_ALL if stop else ASK_ALL} {marks}{about}", "  ")]
    lines = [_line(place, v, _marks(v.reasons, numbers, rules)) for place, v in needing]
    if general:
        lines.append(wrapped(f"· all through {_marks(general, numbers, rules)}", "  "))
    return lines


def _marks(reasons: Sequence[Reason], numbers: dict[str, int], rules: list[Reason]) -> str:
    """ "(1, 3)": where the reasons stand; new ones are numbered."""
    for r in reasons:
        if r.rule.id not in numbers:
            numbers[r.rule.id] = len(numbers) + 1
            rules.append(r)
    once = dict.fromkeys(str(numbers[r.rule.id]) for r in reasons)
    return f"({', '.join(once)})"


def _line(place: int | None, v: Verdict, marks: str) -> str:
    where = f"{place} " if place else ""
    return wrapped(f"· {where}{v.exercise.short}: {_what(v)} {marks}".rstrip(), "  ")


def _what(v: Verdict) -> str:
    match v.kind:
        case Kind.FINE:
            return "fine"
        case Kind.MODIFY:
            return f"modify, {_all(v.change.words)}"
        case Kind.SWAP if v.swap:
            change = f", {_all(v.swap_change.words)}" if v.swap_change else ""
            return f"swap for {v.swap.name}{change}"
        case Kind.ASK_FIRST if v.swap:
            change = f", {_all(v.swap_change.words)}" if v.swap_change else ""
            return f"ask first; meanwhile {v.swap.name}{change}"
        case Kind.ASK_FIRST:
            return "ask first"
        case _:
            return "leave out"


def _reason(n: int, rule: Rule) -> str:
    source = rule.source.cite
    if rule.source.year and str(rule.source.year) not in source:
        source += f", {rule.source.year}"
    text = f"({n}) {_sentence(rule.says)} Source: {source} ({rule.tag.value})."
    if rule.differs:
        text += f" Another view differs: {_sentence(rule.differs)}"
    return wrapped(text, "  ")


def _noted(r: Reason) -> str:
    answered = f" Answered by {r.flag.answered_by or 'a clinician'}." if r.answered else ""
    return f"{_sentence(r.rule.says)}{answered} Source: {r.rule.source.cite} ({r.rule.tag.value})."


def _binding(v: Verdict) -> bool:
    return any(r.binding for r in v.reasons)


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?", "!")) else f"{text}."


def _all(changes: Sequence[str]) -> str:
    """Changes inside a sentence: no capitals, no full stops."""
    return "; ".join(text[:1].lower() + text[1:].rstrip(".") for text in changes)

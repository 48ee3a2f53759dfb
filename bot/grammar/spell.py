"""A brief as the line that asks for it; reading the line gives the brief again."""

from core.aims import AIM_WORDS, AIMS, BAR_WORDS, BARS
from core.brief import USUAL_PEOPLE, Bar, ClassBrief
from core.fold import fold
from core.repertoire import Repertoire


def spell(brief: ClassBrief, repertoire: Repertoire) -> str:
    """The line, in words the grammar reads; what the grammar can't say (drops) is left out."""
    words = ["plan", str(brief.minutes), *(repertoire.apparatus[a].name for a in brief.apparatus)]
    words.append(f"level {int(brief.level)}" if brief.level else "mixed")
    if brief.focus:
        words.append("focus " + " and ".join(aim.name for aim in brief.focus))
    words += [f"no {_without(bar, repertoire)}" for bar in brief.without]
    words += [f"with {repertoire[m].name}" for m in brief.must]
    if brief.people != USUAL_PEOPLE:
        words.append(f"{brief.people} people")
    if brief.group:
        words.append(f"for {brief.group}")
    if brief.starts:
        words.append(f"{brief.starts:%Y-%m-%d %H:%M}")
    return " ".join(words)


def _without(bar: Bar, repertoire: Repertoire) -> str:
    """A word for what the class does without; a movement by a name that says nothing else."""
    if not bar.movements or bar in BARS:
        return bar.name
    named = [e.name for e in repertoire.exercises.values() if e.family in bar.movements]
    known = [each.name for each in AIMS] + [each.name for each in BARS]
    known += [*AIM_WORDS, *BAR_WORDS]
    for apparatus in repertoire.apparatus.values():
        known += [fold(apparatus.name), *map(fold, apparatus.aliases)]

    def plain(name: str) -> bool:
        return not any(f"{fold(name)} ".startswith(f"{word} ") for word in known)

    return next(filter(plain, named), bar.name)

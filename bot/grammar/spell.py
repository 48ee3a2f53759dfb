"""A brief as the line that asks for it; reading the line gives the brief again."""

from core.brief import USUAL_PEOPLE, ClassBrief
from core.repertoire import Repertoire


def spell(brief: ClassBrief, repertoire: Repertoire) -> str:
    """The line, in words the grammar reads; what the grammar can't say (drops) is left out."""
    words = ["plan", str(brief.minutes), *(repertoire.apparatus[a].name for a in brief.apparatus)]
    words.append(f"level {int(brief.level)}" if brief.level else "mixed")
    if brief.focus:
        words.append("focus " + " and ".join(aim.name for aim in brief.focus))
    words += [f"no {bar.name}" for bar in brief.without]
    words += [f"with {repertoire[m].name}" for m in brief.must]
    if brief.people != USUAL_PEOPLE:
        words.append(f"{brief.people} people")
    if brief.group:
        words.append(f"for {brief.group}")
    if brief.starts:
        words.append(f"{brief.starts:%Y-%m-%d %H:%M}")
    return " ".join(words)

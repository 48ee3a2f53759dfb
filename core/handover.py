"""The sheet of a class as a colleague may have it: what to change, and nothing that says why."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from core.caution import Kind
from core.sheet import Need, PersonRow, RunSheet


def handed_over(sheet: RunSheet) -> RunSheet:
    """The sheet with first names, and without the name of the class.

    Asking first is a matter between a person and her own instructor: for the colleague it is the
    stand-in, or leaving the exercise out.
    """
    called = short_names([each.name for each in sheet.people])
    brief = replace(sheet.plan.brief, group="")
    people = [_person(each, name) for each, name in zip(sheet.people, called, strict=True)]
    return replace(sheet, plan=replace(sheet.plan, brief=brief), people=tuple(people))


def short_names(names: Sequence[str]) -> tuple[str, ...]:
    """First names; of two alike with the initial of the last, and still alike with a number."""
    words = [name.split() for name in names]
    firsts = Counter(each[0].casefold() for each in words)
    found = [
        f"{each[0]} {each[-1][0]}." if firsts[each[0].casefold()] > 1 and len(each) > 1 else each[0]
        for each in words
    ]
    alike = Counter(name.casefold() for name in found)
    seen: Counter[str] = Counter()
    result = []
    for name in found:
        key = name.casefold()
        seen[key] += 1
        result.append(f"{name} {seen[key]}" if alike[key] > 1 else name)
    return tuple(result)


def _person(person: PersonRow, name: str) -> PersonRow:
    needs: dict[Need, list[int]] = {}
    for each in person.needs:
        needs.setdefault(replace(_settled(each), places=()), []).extend(each.places)
    merged = (replace(what, places=tuple(sorted(at))) for what, at in needs.items())
    return replace(person, name=name, needs=tuple(merged))


def _settled(need: Need) -> Need:
    if need.kind is not Kind.ASK_FIRST:
        return need
    return replace(need, kind=Kind.SWAP if need.swap else Kind.LEAVE_OUT)

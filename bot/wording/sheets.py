"""The words on a run sheet, as plain values that a template sets; nothing here is markup."""

import unicodedata
from collections.abc import Sequence
from typing import Any

from bot.wording.phrases import clock, count, level_name, listed, moment, paragraph
from bot.wording.plans import HEALTH, reps
from core.apparatus import ApparatusId, SpringSetting
from core.brief import ClassBrief
from core.caution import Kind
from core.exercise import Position
from core.repertoire import Repertoire
from core.sheet import Need, Option, PersonRow, RunSheet, SheetRow, Station

SENT = "Your run sheet for {title}."
NO_PEOPLE = "I know of nobody in this class, so the sheet says what is taught, not who needs what."
HAS_PEOPLE = "It says what people do instead, never why. Keep it where only you read it."
ONE_OF = "Say sheet phone, sheet paper or sheet picture for one of them."
FILES = {
    "paper": "run-sheet-{number}.pdf",
    "phone": "run-sheet-{number}-phone.pdf",
    "picture": "run-sheet-{number}.png",
}
HEADS = {
    "clock": "Clock",
    "exercise": "Exercise",
    "springs": "Springs",
    "springs-lane": "springs",
    "reps": "Reps",
    "options": "▽ easier  △ harder",
    "cues": "Cues",
    "set_up": "Set the room",
    "people": "Who needs what",
    "safety": "Safety",
    "effort": "effort",
    "position": "position",
    "minutes": "min",
    "page": "page",
}
BOXED = "Boxed springs: change them."
TURNED = "→ a new position."
MARKED = "◆ somebody does something else."
FOOT = HEALTH
POSITIONS = {
    Position.SUPINE: "supine",
    Position.PRONE: "prone",
    Position.SIDE_LYING: "side",
    Position.SEATED_FLOOR: "sit",
    Position.QUADRUPED: "quad",
    Position.PLANK: "plank",
    Position.KNEELING: "kneel",
    Position.SEATED_APPARATUS: "seat",
    Position.STANDING: "stand",
    Position.STANDING_APPARATUS: "on top",
    Position.INVERTED: "invert",
}
LONGEST_WORD = 16  # letters without a place to break
CUE_LONGEST, NAME_LONGEST = 240, 200
BREAK = "\u200b"  # a place where a line may end
JOINERS = "\u200c\u200d"  # unseen, but some scripts and pictures are written with them
HIDDEN = ("Cc", "Cf", "Cs", "Co")
WAITS = "nothing before a clinician has been asked"
STOPS = "not in class: stop and seek medical help first"
ALL_THROUGH = "something to mind all through: say mods {name}"
NOTHING = "as written"
NO_SPRING = "–"
EVERYBODY = "everybody"


def sheet_form(sheet: RunSheet, repertoire: Repertoire) -> dict[str, Any]:
    """Everything a template needs, every text ready to be set."""
    plan = sheet.plan
    marks = {act: _letter(at) for at, act in enumerate(sheet.acts)}
    names = [plain(each.name, NAME_LONGEST) for each in sheet.people]
    rows = [_row(row, names, marks, repertoire) for row in sheet.rows]
    at = 0
    sections = []
    for phase, items in plan.sections():
        seconds = sum(i.transition_s + i.setup_s + i.duration_s for i in items)
        sections.append(
            {
                "name": phase.value.upper(),
                "minutes": f"{round(seconds / 60)} {HEADS['minutes']}",
                "rows": rows[at : at + len(items)],
            }
        )
        at += len(items)
    on = listed([repertoire.apparatus[a].name for a in plan.brief.apparatus])
    return {
        "title": plain(f"{plan.brief.minutes} min {on}", NAME_LONGEST),
        "about": plain(_about(plan.brief), NAME_LONGEST),
        "ends": f"Ends {clock(plan.total_s)} of {clock(plan.brief.slot_s)}",
        "band": _band(sheet, repertoire),
        "sections": sections,
        "people": [_person(each, repertoire) for each in sheet.people],
        "set_up": [plain(line, CUE_LONGEST) for line in set_up(sheet, repertoire)],
        "safety": [
            {"mark": marks[act], "text": plain(repertoire.acts.get(act, act), CUE_LONGEST)}
            for act in sheet.acts
        ],
        "heads": HEADS,
        "keys": paragraph(_keys(sheet)),
        "foot": FOOT,
    }


def plain(text: str, longest: int) -> str:
    """The text without what can't be seen or turns the line about, and with places to break."""
    shown = (c if c in JOINERS or unicodedata.category(c) not in HIDDEN else " " for c in text)
    seen = " ".join("".join(shown).split())
    if len(seen) > longest:
        seen = seen[: longest - 1].rstrip() + "…"
    return " ".join(_broken(word) for word in seen.split(" "))


def _broken(word: str) -> str:
    pieces = [word[at : at + LONGEST_WORD] for at in range(0, len(word), LONGEST_WORD)]
    return BREAK.join(pieces)


def _about(brief: ClassBrief) -> str:
    words = [level_name(brief.level), count(brief.people, "person", "people")]
    if brief.focus:
        words.append("focus " + listed([aim.name for aim in brief.focus]))
    if brief.group:
        words.append(f"for {brief.group}")
    if brief.starts:
        words.append(moment(brief.starts))
    return " · ".join(words)


def _row(
    row: SheetRow, names: Sequence[str], marks: dict[str, str], repertoire: Repertoire
) -> dict[str, Any]:
    item = row.item
    e = item.step.exercise
    on = repertoire.apparatus[e.apparatus]
    under = [f"→ {on.name}"] if row.moved else []
    under += [f"→ {e.position.value}"] if row.new_position else []
    under += [f"set {part} {state}" for part, state in row.rig]
    under += e.props
    return {
        "n": str(item.n),
        "clock": clock(item.start_s),
        "name": plain(e.name.removesuffix(f" on the {on.name}"), NAME_LONGEST),
        "short": plain(e.short, NAME_LONGEST),
        "under": plain(" · ".join(under), CUE_LONGEST),
        "acts": "".join(sorted(marks[act] for act in e.safety)),
        "who": _who(row.needing, names),
        "springs": springs_of(item.step.springs, e.apparatus, repertoire),
        "change": row.new_springs or row.moved,
        "reps": reps(item),
        "options": [plain(_option(each, e.apparatus, repertoire), 80) for each in row.options],
        "cues": [plain(cue, CUE_LONGEST) for cue in row.cues],
    }


def _who(needing: Sequence[int], names: Sequence[str]) -> str:
    if not needing:
        return ""
    if len(needing) == len(names) > 2:
        return f"◆ {EVERYBODY}"
    return "◆ " + ", ".join(
        names[at] if len(names[at]) <= 12 else names[at][:11] + "…" for at in needing
    )


def _option(option: Option, on: ApparatusId, repertoire: Repertoire) -> str:
    ways = []
    if option.springs is not None:
        ways.append(springs_of(option.springs, on, repertoire))
    if option.exercise:
        ways.append(option.exercise.short)
    return f"{'△' if option.harder else '▽'} {listed(ways, 'or')}"


def springs_of(setting: SpringSetting, on: ApparatusId, repertoire: Repertoire) -> str:
    apparatus = repertoire.apparatus[on]
    return apparatus.brief(setting) or (NO_SPRING if apparatus.springs else "")


def _person(person: PersonRow, repertoire: Repertoire) -> dict[str, Any]:
    needs = [need_words(need) for need in person.needs]
    if person.stop or person.waits:
        needs = [("", STOPS if person.stop else WAITS)]
    elif person.all_through:
        needs.append(("", ALL_THROUGH.format(name=person.name)))
    own = [
        typed if len(person.springs) == 1 else f"{repertoire.apparatus[on].name} {typed}"
        for on, typed in person.springs
    ]
    return {
        "name": plain(person.name, NAME_LONGEST),
        "springs": plain(", ".join(own), CUE_LONGEST),
        "needs": [
            {"at": at, "text": plain(text, CUE_LONGEST)} for at, text in needs or [("", NOTHING)]
        ],
    }


def need_words(need: Need) -> tuple[str, str]:
    """Where, and what instead."""
    changes = "; ".join(text[:1].lower() + text[1:].rstrip(".") for text in need.changes)
    match need.kind:
        case Kind.SWAP if need.swap:
            what = f"→ {need.swap.name}" + (f" ({changes})" if changes else "")
        case Kind.ASK_FIRST if need.swap:
            what = f"ask first; meanwhile {need.swap.name}" + (f" ({changes})" if changes else "")
        case Kind.ASK_FIRST:
            what = "ask first"
        case Kind.MODIFY:
            what = changes
        case _:
            what = "leave out"
    return ", ".join(map(str, need.places)), what


def set_up(sheet: RunSheet, repertoire: Repertoire) -> list[str]:
    lines = [_station(each, sheet, repertoire) for each in sheet.stations]
    if sheet.props:
        used = [f"{prop} ({', '.join(map(str, places))})" for prop, places in sheet.props]
        lines.append(f"For each: {', '.join(used)}")
    return lines


def _station(station: Station, sheet: RunSheet, repertoire: Repertoire) -> str:
    on = station.apparatus
    name = f"{station.count} × {on.name}"
    said = [name if station is sheet.stations[0] else f"At {station.place}: {name}"]
    if on.springs:
        short = on.brief(station.springs)
        long = " + ".join(station.springs.tokens) or "no spring"
        said.append(
            f"springs {short}" + (f" ({long})" if short and short != str(station.springs) else "")
            if short
            else "no spring"
        )
    said += [f"{part} {state}" for part, state in station.rig]
    return ", ".join(said)


def _band(sheet: RunSheet, repertoire: Repertoire) -> dict[str, Any]:
    """The arc of the class in seconds of its slot."""
    plan = sheet.plan
    springs: list[dict[str, Any]] = []
    for row in sheet.rows:
        step, end = row.item.step, row.item.end_s
        if springs and not (row.new_springs or row.moved):
            springs[-1]["to"] = end
            continue
        text = springs_of(step.springs, step.exercise.apparatus, repertoire)
        springs.append({"from": row.item.start_s, "to": end, "text": text})
    starts = plan.brief.starts
    step_s = 300 if plan.brief.minutes <= 60 else 600
    ticks = []
    for at in range(0, plan.brief.slot_s + 1, step_s):
        text = str(at // 60)
        if starts:
            minute = starts.hour * 60 + starts.minute + at // 60
            text = f"{minute // 60 % 24}:{minute % 60:02}"
        ticks.append({"at": at, "text": text})
    return {
        "slot": plan.brief.slot_s,
        "most": max((row.item.step.exercise.effort for row in sheet.rows), default=0) + 1,
        "bars": [
            {
                "from": row.item.start_s,
                "to": row.item.end_s,
                "effort": row.item.step.exercise.effort,
                "n": str(row.item.n),
                "change": row.new_springs or row.moved,
                "turn": row.new_position,
            }
            for row in sheet.rows
        ],
        "phases": [
            {"from": start, "to": end, "text": phase.value} for phase, start, end in sheet.phases()
        ],
        "springs": springs if any(each["text"] for each in springs) else [],
        "positions": [
            {"from": start, "to": end, "text": POSITIONS[position]}
            for position, start, end in sheet.positions()
        ],
        "ticks": ticks,
    }


def _keys(sheet: RunSheet) -> list[str]:
    boxed = any(row.new_springs or row.moved for row in sheet.rows)
    sprung = any(row.item.step.exercise.springs for row in sheet.rows)
    needing = any(row.needing for row in sheet.rows)
    return [BOXED if boxed and sprung else "", TURNED, MARKED if needing else ""]


def _letter(at: int) -> str:
    return chr(ord("A") + at % 26)

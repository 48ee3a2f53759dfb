"""Her apparatus: described, measured, compared."""

from bot.commands import (
    DescribeApparatus,
    ForgetApparatus,
    Measure,
    SameAs,
    ShowApparatus,
    ShowSprings,
)
from bot.desk import Desk
from bot.errors import SpringsError
from bot.reply import Button, Part, Reply
from bot.wording import describing
from core.apparatus import ApparatusId
from core.calibration import Calibration, Reading, equivalents
from core.errors import CoreError
from core.own import own_repertoire
from core.record import apparatus_to_table
from core.translate import redescribe, share


def show(command: ShowApparatus, desk: Desk) -> Reply:
    """How her apparatus are described."""
    known = desk.repertoire.apparatus
    wanted = [command.apparatus] if command.apparatus else list(known)
    return Reply(
        tuple(Part(describing.apparatus(known[a], _calibration(a, desk))) for a in wanted),
        data={"apparatus": [apparatus_to_table(known[a]) for a in wanted]},
    )


def describe(command: DescribeApparatus, desk: Desk) -> Reply:
    """Her description kept; every plan, option and equivalent follows it from now on."""
    base = desk.base.apparatus[command.apparatus]
    springs = command.springs if isinstance(command.springs, int) else list(command.springs)
    try:
        mine = redescribe(base, springs, command.notches)
    except CoreError as fault:
        raise SpringsError(str(fault)) from fault
    desk.store.undescribe(command.apparatus)
    desk.store.describe(mine)
    after = own_repertoire(desk.base, desk.store.apparatus(), [])
    lost = [
        e.name for e in desk.base.by_apparatus[command.apparatus] if e.id not in after.exercises
    ]
    parts = [Part(describing.described(mine))]
    if lost:
        parts.append(Part(describing.left_out(lost)))
    return Reply(
        tuple(parts),
        ((Button(describing.BACK_TO_PLAIN, f"apparatus {base.name} shipped"),),),
        data={"apparatus": [apparatus_to_table(mine)], "left_out": lost},
    )


def forget(command: ForgetApparatus, desk: Desk) -> Reply:
    """Back to the shipped description; readings of the old springs go with it."""
    desk.store.undescribe(command.apparatus)
    base = desk.base.apparatus[command.apparatus]
    return Reply(
        (Part(describing.forgotten(base)),), data={"apparatus": [apparatus_to_table(base)]}
    )


def measure(command: Measure, desk: Desk) -> Reply:
    """A scale's two readings kept."""
    on = desk.repertoire.apparatus[command.apparatus]
    try:
        reading = Reading(command.token, command.top_kg, command.bottom_kg)
    except CoreError as fault:
        raise SpringsError(str(fault)) from fault
    desk.store.keep_reading(command.apparatus, reading)
    return Reply(
        (Part(describing.measured(on, reading.token, reading.top_kg, reading.bottom_kg)),),
        ((Button(on.name, f"apparatus {on.name}"),),),
        data={
            "reading": {
                "apparatus": on.id,
                "token": reading.token,
                "top_n": round(reading.preload_n, 3),
                "mean_n": round(reading.mean_force_n, 3),
                "stiffness_n_per_m": round(reading.stiffness_n_per_m, 3),
            }
        },
    )


def same_as(command: SameAs, desk: Desk) -> Reply:
    """The nearest settings on another apparatus."""
    on, other = _calibration(command.apparatus, desk), _calibration(command.on, desk)
    try:
        found = equivalents(command.setting, on, other)
    except CoreError as fault:
        raise SpringsError(str(fault)) from fault
    return Reply(
        (Part(describing.same(command.setting, on.apparatus, other.apparatus, found)),),
        data={
            "by_rank": found.by_rank,
            "equivalents": [
                {
                    "springs": str(each.setting),
                    "difference_pct": round(each.difference_pct, 1),
                    "big_step": each.big_step,
                }
                for each in found.nearest
            ],
        },
    )


def show_springs(command: ShowSprings, desk: Desk) -> Reply:
    """What a setting is on an apparatus."""
    calibration = _calibration(command.apparatus, desk)
    on = calibration.apparatus
    force_n = calibration.mean_force_n(command.setting) if command.setting.tokens else None
    part = share(on, command.setting)
    return Reply(
        (Part(describing.setting(on, command.setting, force_n, part)),),
        data={
            "springs": str(command.setting),
            "apparatus": on.id,
            "mean_n": None if force_n is None else round(force_n, 3),
            "share": round(part, 3),
        },
    )


def _calibration(apparatus: ApparatusId, desk: Desk) -> Calibration:
    on = desk.repertoire.apparatus[apparatus]
    tokens = set(on.tokens()) if on.springs else set()
    readings = desk.store.readings(apparatus)
    return Calibration(on, tuple(r for r in readings if r.token in tokens))

"""Seals everything anew under the newest key, so that older keys are no longer needed.

It may be stopped at any time and begun again: what is done is done, and both keys open the rest.
While it runs, no program may go on that knows the older key only.
"""

from dataclasses import dataclass

from storage.cover import KEY_MISSING
from storage.drawers import Drawer
from storage.errors import KeyMissingError, SealError
from storage.sql import SqlVault

BATCH = 500  # rows in one transaction: a few milliseconds, so that nobody waits (house choice)


@dataclass(frozen=True, slots=True)
class Rotated:
    """What rotating has done.

    Attributes:
        rows: how many rows were sealed anew.
        faults: fields that no key opens; they are as they were.
    """

    rows: int
    faults: tuple[SealError, ...]


def rotate(vault: SqlVault, batch: int = BATCH) -> Rotated:
    """What was sealed anew, everybody's.

    Raises:
        KeyMissingError: the vault was opened without keys.
    """
    rows = 0
    faults: list[SealError] = []
    for owner in vault.owners():
        for drawer in Drawer:
            last = 0
            while True:
                with vault.begin(owner, revoked_too=True) as store:
                    if store.drawers is None:
                        raise KeyMissingError(KEY_MISSING)
                    last, renewed = store.drawers.renew(drawer, last, batch)
                    faults += store.faults
                rows += renewed
                if not last:
                    break
        with vault.begin(owner, revoked_too=True) as store:
            if store.drawers is None:
                raise KeyMissingError(KEY_MISSING)
            rows += store.drawers.renew_mentions()
            faults += store.faults
    rows += vault.renew_house()
    vault.leave_old_keys()
    return Rotated(rows, tuple(faults))


def cover(vault: SqlVault) -> Rotated:
    """What an earlier version of the program had kept open and is covered now, everybody's.

    Raises:
        KeyMissingError: the vault was opened without keys.
    """
    rows = 0
    faults: list[SealError] = []
    for owner in vault.owners():
        with vault.begin(owner, revoked_too=True) as store:
            if store.drawers is None:
                raise KeyMissingError(KEY_MISSING)
            rows += store.drawers.renew_mentions()
            faults += store.faults
    vault.empty_log()
    return Rotated(rows, tuple(faults))

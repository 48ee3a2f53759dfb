"""What concerns the whole house, so that it happens outside anybody's transaction."""

import secrets
from collections.abc import Callable
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from bot.commands import HouseCommand, Invite, Problems, Revoke, WhoHasAccess
from bot.ports import Vault
from bot.reply import Button, Part, Reply
from bot.wording import privacy, problems
from bot.wording.phrases import moment, wrapped
from core.instructor import OwnerId
from storage.errors import KeyMissingError

CODE_HOLDS = timedelta(hours=24)
CODE_BYTES = 12


def answer(
    command: HouseCommand,
    vault: Vault,
    owner: OwnerId,
    now: datetime,
    digest: Callable[[str], bytes],
) -> Reply:
    """What the first instructor of the house asks for; nobody else is told anything."""
    let_in = vault.access()
    if not let_in or owner != min(each.owner for each in let_in):
        return Reply((Part(wrapped(privacy.OWN_ONLY)),), data={"error": "NotFirst"})
    own = next(each.door for each in let_in if each.owner == owner)
    match command:
        case WhoHasAccess():
            return Reply(
                (Part(privacy.access(let_in, own)),),
                tuple(
                    (Button(privacy.REVOKE.format(door=each.door), f"revoke {each.door}"),)
                    for each in let_in
                    if each.door != own
                ),
                data={
                    "access": [
                        {
                            "door": each.door,
                            "since": each.admitted_at.isoformat() if each.admitted_at else None,
                        }
                        for each in let_in
                    ]
                },
            )
        case Revoke(door=door):
            if door == own:
                return Reply((Part(wrapped(privacy.OWN_DOOR)),), data={"error": "OwnDoor"})
            if not vault.revoke(door):
                said = privacy.NO_DOOR.format(door=door[:40])
                return Reply((Part(wrapped(said)),), data={"error": "NoSuchDoor"})
            _record("revoke", vault, owner, now)
            return Reply(
                (Part(wrapped(privacy.REVOKED.format(door=door))),), data={"revoked": door}
            )
        case Problems(then="again"):
            tried = vault.office.again(now)
            return Reply((Part(problems.tried(tried)),), data={"tried": tried})
        case Problems(then="forget"):
            gone = vault.office.forget()
            return Reply((Part(problems.forgotten(gone)),), data={"forgotten": gone})
        case Problems():
            return _problems(vault, owner)
        case Invite():
            code = secrets.token_urlsafe(CODE_BYTES)
            until = now + CODE_HOLDS
            vault.add_code(digest(code), until)
            _record("invite", vault, owner, now)
            said = privacy.INVITED.format(until=f"{moment(until)} UTC", code=code)
            return Reply(
                (Part(wrapped(said)),), data={"invite": {"code": code, "until": until.isoformat()}}
            )


def _problems(vault: Vault, owner: OwnerId) -> Reply:
    """What the channel did not take and what was not answered, without its content."""
    with vault.begin(owner) as store:
        zone = ZoneInfo(store.instructor().zone or "UTC")
    found = vault.office.problems()
    form = [
        {
            "kind": each.kind,
            "error": each.error,
            "count": each.count,
            "chats": each.chats,
            "first": each.first.isoformat(),
            "last": each.last.isoformat(),
        }
        for each in found
    ]
    again = Button(problems.AGAIN, "problems again")
    forget = Button(problems.FORGET, "problems forget")
    rows = ((again, forget),) if found else ()
    return Reply((Part(problems.told(found, zone)),), rows, data={"problems": form})


def _record(what: str, vault: Vault, owner: OwnerId, now: datetime) -> None:
    """Write down that it was done, where there is a trail to write in."""
    with vault.begin(owner) as store:
        try:
            store.people.record(what, now, {})
        except KeyMissingError:
            return

"""Settings, read once from the environment; secrets never show when printed."""

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from zoneinfo import ZoneInfo, available_timezones

from bot import channel, logs
from bot.channel import Hook, Pace

MOST_PORT = 65_535
LIMIT = 40  # messages a minute one person may send (house choice)


class SettingsError(Exception):
    """Settings that can't be used; the message names every fault at once."""


@dataclass(frozen=True, slots=True)
class Settings:
    """How the program is to run.

    Attributes:
        token: the channel's token; empty for the terminal.
        api_url: base address of the channel's API; empty is its official one.
        db: address of the database.
        key: the keys of what is kept about people; empty is a file by the database.
        zone: IANA name of the zone of new instructors.
        limit: messages a minute one person may send.
        pace: how fast the channel is written to.
        hook: where the channel brings updates to; None where it is asked for them.
        health_port: where on loopback health is told; 0 for nowhere.
        log: how the log is written, "plain" or "json".
    """

    db: str = field(repr=False)  # it may have a password in it
    zone: str
    api_url: str = ""
    token: str = field(default="", repr=False)
    key: str = field(default="", repr=False)
    limit: int = LIMIT
    pace: Pace = field(default=Pace())
    hook: Hook | None = None
    health_port: int = 0
    log: str = "plain"


def read(environment: Mapping[str, str] = os.environ, *, serving: bool = False) -> Settings:
    """The settings in these variables.

    Raises:
        SettingsError: one or more can't be used.
    """
    faults: list[str] = []
    zone = environment.get("COILBOOK_TZ", "UTC")
    if zone not in available_timezones():
        faults.append(f"COILBOOK_TZ: {zone!r} is no zone; say it like Europe/Lisbon")
    api_url = environment.get("COILBOOK_API_URL", "")
    if api_url and not api_url.startswith(("http://", "https://")):
        faults.append("COILBOOK_API_URL: an address begins with http:// or https://")
    token = environment.get("COILBOOK_TOKEN", "")
    if serving and not token:
        faults.append("COILBOOK_TOKEN: the channel's token is needed to serve")
    db = database(environment)
    limit = channel.number(environment, "COILBOOK_LIMIT", LIMIT, faults)
    pace, hook = channel.pace(environment, faults), channel.hook(environment, faults)
    health = environment.get("COILBOOK_HEALTH_PORT", "").strip() or "0"
    if not health.isdecimal() or int(health) > MOST_PORT:
        faults.append(
            f"COILBOOK_HEALTH_PORT: {health[:20]!r} is no port; say one up to {MOST_PORT}"
        )
    log = environment.get("COILBOOK_LOG") or "plain"
    if log not in logs.KINDS:
        faults.append(f"COILBOOK_LOG: {log[:20]!r} is no kind of log; say plain or json")
    if faults:
        raise SettingsError("\n".join(faults))
    return Settings(
        db,
        zone,
        api_url,
        token,
        environment.get("COILBOOK_KEY", ""),
        limit,
        pace,
        hook,
        int(health),
        log,
    )


def database(environment: Mapping[str, str]) -> str:
    """The address of the database, whether it was given as one, as a path, or not at all."""
    db = environment.get("COILBOOK_DB") or default_db(environment)
    return db if "://" in db else f"sqlite:///{Path(db).expanduser().absolute()}"


def default_db(environment: Mapping[str, str]) -> str:
    """The address of the database in the user's own data folder."""
    home = environment.get("XDG_DATA_HOME") or Path(environment.get("HOME") or "~", ".local/share")
    return f"sqlite:///{Path(home).expanduser().absolute() / 'coilbook' / 'coilbook.db'}"


def zone_of(name: str) -> ZoneInfo:
    """The zone of this name.

    Raises:
        SettingsError: there is none such.
    """
    if name not in available_timezones():
        raise SettingsError(f"{name!r} is no zone; say it like Europe/Lisbon")
    return ZoneInfo(name)

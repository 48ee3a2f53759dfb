"""Conversations about people, on a database with keys in a folder of their own."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import get_args

from bot.commands import DiaryCommand, HouseCommand, PeopleCommand
from bot.main import open_vault
from tests.talk import Talk

HEALTH = (
    "Health questions belong to the client's clinician; your licence and local rules come first."
)

# One line at least for each command about people, the diary and the house; ANA and dawn are there.
EVERY_LINE = (
    "client ANA",
    "client add CLEO, level 1, chair 3",
    "client ANA: level 2",
    "clients",
    "note ANA: slept well",
    "flag ANA left wrist marked",
    "flag ANA 1: mild",
    "flags ANA",
    "unflag ANA 1",
    "answered ANA 1 by physio",
    "consent ANA",
    "group dawn",
    "groups",
    "group dusk add ANA",
    "group dawn remove ANA",
    "group dawn drop",
    "mods",
    "mods tue",
    "mods dawn",
    "mods ANA",
    "mods ANA pike chair",
    "screen ANA yes no no yes",
    "export",
    "export ANA",
    "erase ANA",
    "erase ANA for good",
    "retention",
    "retention 2 years",
    "class tue 18:00 weekly 50 chair dawn",
    "class 3 dec 9:00 50 private ANA",
    "classes",
    "week next",
    "cancel dawn",
    "cancel ANA",
    "move dawn to wed 17:00",
    "away 20 dec to 3 jan",
    "away",
    "remind me fri 9am call ANA",
    "ask ANA in 2 days about the knee",
    "reminders",
    "done 30",
    "later 30 1h",
    "pause",
    "pause 30",
    "resume",
    "quiet 22:00 to 7:00",
    "digest",
    "digest 19:00",
    "lead 30 min",
    "lead",
    "calendar names",
    "import",
    "plan tue",
    "who has access",
    "revoke console:other",
    "invite",
    "problems",
    "problems again",
    "problems forget",
    "ANA's wrist is bad today",
)
EVERY_COMMAND = {*get_args(PeopleCommand), *get_args(DiaryCommand), *get_args(HouseCommand)}


@contextmanager
def people_talk(folder: Path) -> Iterator[Talk]:
    """A conversation whose database and key file lie in this folder."""
    vault = open_vault(f"sqlite:///{folder / 'coilbook.db'}")
    try:
        yield Talk(vault)
    finally:
        vault.close()

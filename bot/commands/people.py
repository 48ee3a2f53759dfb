"""Commands about people: who they are, what to mind about them, what becomes of it."""

from dataclasses import dataclass

from core.apparatus import ApparatusId
from core.exercise import Level


@dataclass(frozen=True, slots=True)
class Details:
    """What a line says of a person.

    Attributes:
        name: the new name, when she is to be called otherwise.
        without: what is no longer so: "goals", or an apparatus whose usual setting goes.
    """

    level: Level | None = None
    springs: tuple[tuple[ApparatusId, str], ...] = ()
    goals: tuple[str, ...] = ()
    name: str = ""
    without: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LookUpClient:
    """Show what is kept about a person."""

    typed: str


@dataclass(frozen=True, slots=True)
class AddClient:
    """Keep a person."""

    name: str
    details: Details = Details()


@dataclass(frozen=True, slots=True)
class ChangeClient:
    """Change level, goals, usual springs or name of a person."""

    typed: str
    details: Details


@dataclass(frozen=True, slots=True)
class ListClients:
    """List everybody."""


@dataclass(frozen=True, slots=True)
class AddNote:
    """Keep a note; the name is at the head of `typed`, with the note after it or in `text`."""

    typed: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class FlagClient:
    """Keep something to mind; with a number after the name, say more of a flag that is kept."""

    typed: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class ListFlags:
    """Show what is minded about a person."""

    typed: str


@dataclass(frozen=True, slots=True)
class Unflag:
    """Take a flag away: its number or its condition stands after the name."""

    typed: str


@dataclass(frozen=True, slots=True)
class Answered:
    """Record that a clinician has answered what a flag asks for."""

    typed: str
    by: str


@dataclass(frozen=True, slots=True)
class Consent:
    """Record that a person agrees to what is kept."""

    typed: str


@dataclass(frozen=True, slots=True)
class ShowGroup:
    """Show who is in a group."""

    name: str


@dataclass(frozen=True, slots=True)
class ListGroups:
    """List the groups."""


@dataclass(frozen=True, slots=True)
class AddToGroup:
    """Put people into a group, which is made if there is none."""

    name: str
    people: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LeaveGroup:
    """Take people out of a group."""

    name: str
    people: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DropGroup:
    """Forget a group; its people stay."""

    name: str


@dataclass(frozen=True, slots=True)
class Mods:
    """Say who does what instead: in the class, on a day, for a group, a person, a movement."""

    typed: str = ""
    plan: int | None = None


@dataclass(frozen=True, slots=True)
class Screen:
    """Ask the four questions of readiness; `answers` are those given so far."""

    typed: str
    answers: tuple[bool, ...] = ()


@dataclass(frozen=True, slots=True)
class Export:
    """Give out all that is kept about everybody, or about one person."""

    typed: str = ""


@dataclass(frozen=True, slots=True)
class Erase:
    """Erase a person; nothing is done before it is said in so many words."""

    typed: str
    for_good: bool = False


@dataclass(frozen=True, slots=True)
class ShowRetention:
    """Say how long notes are kept."""


@dataclass(frozen=True, slots=True)
class SetRetention:
    """Keep notes for so many days; None for ever."""

    days: int | None


@dataclass(frozen=True, slots=True)
class WhoHasAccess:
    """List who is let in."""


@dataclass(frozen=True, slots=True)
class Revoke:
    """Let somebody in no longer."""

    door: str


@dataclass(frozen=True, slots=True)
class Invite:
    """Make a code that lets one person in."""


@dataclass(frozen=True, slots=True)
class Problems:
    """Say which messages could not be brought, without what is in them.

    Attributes:
        then: "again" to try them once more, "forget" to let them be; nothing to look only.
    """

    then: str = ""


PeopleCommand = (
    LookUpClient
    | AddClient
    | ChangeClient
    | ListClients
    | AddNote
    | FlagClient
    | ListFlags
    | Unflag
    | Answered
    | Consent
    | ShowGroup
    | ListGroups
    | AddToGroup
    | LeaveGroup
    | DropGroup
    | Mods
    | Screen
    | Export
    | Erase
    | ShowRetention
    | SetRetention
)
# What concerns the whole house, not one instructor's data.
HouseCommand = WhoHasAccess | Revoke | Invite | Problems

"""How the commands go that are about what is kept, and who is let in."""

from bot.wording.entries.entry import Entry

HOUSE: dict[str, Entry] = {
    "export": Entry(
        "all that is kept about people",
        "Two files, about everybody or one person: one to read, one for programs.",
        ("export", "export ANA"),
    ),
    "erase": Entry(
        "somebody, for good",
        "Says first what goes; done only when you add for good.",
        ("erase ANA", "erase ANA for good"),
    ),
    "retention": Entry(
        "how long notes are kept",
        "A span of days, weeks, months or years, or off. Older notes go by themselves.",
        ("retention 2 years", "retention off"),
    ),
    "access": Entry(
        "who is let in",
        "who has access lists everybody, invite makes a code for one person and one day, revoke "
        "and a door lets somebody in no longer. Only the first instructor can.",
        ("who has access", "invite"),
    ),
    "problems": Entry(
        "messages that could not be brought",
        "Says what the channel did not take, since when and why, never what was in it; and tries "
        "it again, or forgets it. Only the first instructor of this house can.",
        ("problems", "problems again", "problems forget"),
    ),
}

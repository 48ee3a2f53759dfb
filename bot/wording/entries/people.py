"""How the commands go that are about people."""

from bot.wording.entries.entry import Entry

PEOPLE: dict[str, Entry] = {
    "client": Entry(
        "a person: what to know of her",
        "client and a name shows level, usual springs, goals, flags, notes and what changes in "
        "this class. client add keeps somebody; a colon and level, goal, no goals, name or an "
        "apparatus with its springs changes her. clients lists everybody. Nicknames or initials "
        "are enough.",
        (
            "client add ANA, level 1, chair 3, goal stronger back",
            "client ANA",
            "client ANA: level 2",
            "clients",
        ),
    ),
    "note": Entry(
        "write down what you saw",
        "After a name and a colon. Kept sealed, for you alone.",
        ("note ANA: left knee sore after footwork",),
    ),
    "flag": Entry(
        "something to mind about a person",
        "Body part or condition, side, mild, marked or acute, since when, until which review, who "
        "said so; weeks for a pregnancy, an operation or a birth. What I don't know I ask about, "
        "and take the strict way until then. flags shows them; a number and a colon says more of "
        "one. It holds until you take it away.",
        (
            "flag ANA left wrist marked since may, until review 1 mar, says physio",
            "flag ANA pregnant 24 weeks",
            "flags ANA",
            "flag ANA 1: mild",
        ),
    ),
    "answered": Entry(
        "a clinician has answered",
        "Recorded with its day; it speaks for that flag alone, for a year or until its review.",
        ("answered ANA 1 by physio",),
    ),
    "unflag": Entry(
        "mind something no longer",
        "By its number in flags, or by what it is about.",
        ("unflag ANA wrist",),
    ),
    "group": Entry(
        "people who come together",
        "group, its name, then add, remove or drop. groups lists them. A class for a group minds "
        "everybody in it.",
        ("group dawn add ANA", "group dawn", "groups"),
    ),
    "mods": Entry(
        "who does what instead",
        "For this class, a day, a group, a person, or one movement of a person, each with its "
        "reason and source. What nobody has told me I can't mind.",
        ("mods", "mods ANA", "mods ANA pike chair"),
    ),
    "screen": Entry(
        "four questions before beginning",
        "The answers lead to what a published table asks for, kept with the day.",
        ("screen ANA",),
    ),
}

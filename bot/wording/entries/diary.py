"""How the commands of the diary go, and of what is said without being asked."""

from bot.wording.entries.entry import Entry

DIARY: dict[str, Entry] = {
    "class": Entry(
        "a class in the diary",
        "Day and time first, then weekly or every tue and thu, until 20 dec if it ends, minutes, "
        "apparatus, who it is for, at and a place. classes lists them. Without a day and a time "
        "it makes a plan.",
        (
            "class tue 18:00 weekly 50 chair",
            "class 3 dec 9:00 50 private at north studio",
            "classes",
        ),
    ),
    "week": Entry(
        "this week at a glance",
        "What is planned, what is not, what clashes. week next shows the one after.",
        ("week", "week next"),
    ),
    "cancel": Entry(
        "call a class off, or move it",
        "By its day, its time or who it is for: cancel tue; move tue to wed 17:00. For a class "
        "that comes again I ask: this one, or all from here.",
        ("cancel tue", "move tue to wed 17:00"),
    ),
    "away": Entry(
        "holidays",
        "Classes on these days fall out, and come back if you take the holiday out again.",
        ("away 20 dec to 3 jan", "away"),
    ),
    "remind": Entry(
        "reminders, and whom to ask what",
        "remind me WHEN and the text, or remind me WHEN | TEXT. ask NAME WHEN about TEXT asks you "
        "about somebody and waits until it is done. reminders lists them; done 12, later 12 1h, "
        "pause 12 and resume 12 are for one of them, pause and resume for all.",
        (
            "remind me fri 9am order springs",
            "remind me every mon 8:00 laundry",
            "reminders",
            "pause",
            "resume",
        ),
    ),
    "digest": Entry(
        "what I say by myself, and when not",
        "The evening before, at 19:00: tomorrow's classes, who comes, who needs what, what to "
        "set. digest 20:00, digest off; digest alone shows it now. lead 30 min announces each "
        "class, quiet 22:00 to 7:00 keeps the night.",
        ("digest 19:00", "digest", "lead 30 min", "quiet 22:00 to 7:00", "quiet"),
    ),
    "calendar": Entry(
        "the diary as a calendar file",
        "Classes and reminders, with alarms; no names of clients unless you say calendar names. "
        "import and a calendar file pasted below it shows what is in it, to keep by a tap.",
        ("calendar", "import"),
    ),
}

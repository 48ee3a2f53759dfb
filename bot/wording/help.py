"""What can be asked, and how each command goes. A test keeps it equal to the table of commands."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Entry:
    """Help on one command: its line in the list, more words, and examples that really work."""

    short: str
    more: str
    examples: tuple[str, ...]


ENTRIES: dict[str, Entry] = {
    "plan": Entry(
        "a class from one line",
        "Say minutes and apparatus, and what else matters, in any order: level 1, 2, 3 or mixed; "
        "focus glutes; no wrists; with mermaid; 6 people or private; for dawn; tue 18:00. "
        "In the class, 8×2 is 8 on each side and 2·8 is two sets of 8. – is no spring.",
        (
            "plan 50 chair",
            "plan 45 mat level 2 focus glutes no wrists",
            "plan 55 reformer private with mermaid",
            "plan 50 chair mat for dawn tomorrow 18:00",
        ),
    ),
    "another": Entry(
        "the same wish, another class",
        "It keeps what you asked for and moves away from what the last plan had.",
        ("another",),
    ),
    "show": Entry(
        "the class again, or one place of it",
        "With a number: springs, cues, easier and harder, what it asks of a body.",
        ("show", "show 7"),
    ),
    "why": Entry(
        "the reasons for the class or a place",
        "The arc, the balance, the changes, and what was given up.",
        ("why", "why 7"),
    ),
    "edit": Entry(
        "change the class",
        "drop 7, swap 7, swap 7 mermaid, add swan after 9, move 9 to 4, reps 7 8, springs 7 3+2, "
        "easier 7, harder 7, keep 7, unkeep 7, fit 40, late 10. Several with commas are done "
        "together or not at all; the rest of the class stays as it is.",
        ("swap 7", "drop 4, fit 45", "late 10"),
    ),
    "refit": Entry(
        "make the class suit everybody",
        "Takes out what anybody in it must avoid today and leaves the rest as it is.",
        ("refit",),
    ),
    "undo": Entry(
        "back, and forward again", "undo goes back as far as you like.", ("undo", "redo")
    ),
    "save": Entry(
        "keep the class under a name",
        "Kept again, it gets a new version. copy as makes a class of its own of it.",
        ("save as tuesday core", "copy as wednesday core"),
    ),
    "plans": Entry("the classes you keep", "Press one to go on with it.", ("plans",)),
    "open": Entry("go on with a kept class", "By the name you gave it.", ("open tuesday core",)),
    "retire": Entry(
        "put a kept class away", "Its plans stay in the past.", ("retire tuesday core",)
    ),
    "compare": Entry(
        "two classes side by side",
        "This class against a kept one, or against a plan by its number.",
        ("compare tuesday core", "compare #1"),
    ),
    "series": Entry(
        "a class a week",
        "Each week keeps a third to a half of the one before and is new in the rest.",
        ("series 6 weeks 50 chair for dawn",),
    ),
    "paste": Entry(
        "read a class written elsewhere",
        "paste and the minutes and apparatus on the first line, then one exercise a line, the way "
        "you write them: Footwork 10x 3+2. What I don't recognise I ask about.",
        (),
    ),
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
    "exercise": Entry(
        "look one up, or add your own",
        "Any name you use will do, typos too; add the apparatus if it is on several. "
        "exercise add NAME begins one of your own, like OTHER copies what is known of another, "
        "exercise set NAME: level 2 says one thing of it, exercise retire NAME ends it, "
        "exercise cue NAME: TEXT keeps your own words on any exercise.",
        (
            "exercise mermaid chair",
            "exercise add harbour reach like mermaid chair",
            "exercise cue mermaid chair: reach past the window",
            "exercise mine",
        ),
    ),
    "find": Entry(
        "exercises that are all of this",
        "Positions, what they work on, apparatus, level, props, and no for what to leave out.",
        ("find kneeling rotation chair", "find level 1 balance no kneeling"),
    ),
    "ladder": Entry(
        "easier and harder, rung by rung",
        "From the easiest variation of a movement to the hardest.",
        ("ladder teaser mat",),
    ),
    "swap": Entry(
        "what could stand in for one",
        "Keeps the aim and lacks what you name; a modification first where there is one.",
        ("swap ideas pike chair no wrists",),
    ),
    "apparatus": Entry(
        "what springs yours have",
        "Describe yours once and every plan follows it. shipped goes back to the plain one.",
        (
            "apparatus",
            "apparatus chair springs 2 notches 4",
            "apparatus reformer springs full full half quarter",
            "apparatus chair shipped",
        ),
    ),
    "measure": Entry(
        "what a luggage scale shows",
        "One spring at a time, at the top and at the bottom of its travel.",
        ("measure chair 3 9kg top 14kg bottom",),
    ),
    "same": Entry(
        "what feels the same elsewhere",
        "By measured force where both were measured, else by rank.",
        ("same as reformer full half on chair",),
    ),
    "springs": Entry(
        "what a setting is",
        "3+2 is one spring at notch 3 and one at 2; full half is one of each.",
        ("springs chair 3+2", "springs reformer full half"),
    ),
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
    "taught": Entry(
        "log a class you taught",
        "Alone it means as planned. Say how long it took in minutes, how hard it was from 0 to 10 "
        "with rpe, what you skipped, and of anybody what you like: BO tired, CY missed, ANA rpe 7. "
        "Said again it corrects; #12 names another class; take back forgets it.",
        ("taught", "taught 48 rpe 5, skipped 7"),
    ),
    "last": Entry(
        "the last class you taught",
        "With a name: the last one of this group or person.",
        ("last", "last dawn"),
    ),
    "history": Entry(
        "the classes of a person or a group",
        "When, how long, how hard, what you noted.",
        ("history ANA",),
    ),
    "load": Entry(
        "how much work the week was",
        "Effort times minutes, for you or for somebody. With three classes or more in a week I "
        "say how even it was, too. It is a sum, not a word about health.",
        ("load", "load ANA"),
    ),
    "pace": Entry(
        "what I learned of your pace",
        "From the classes you log. Plans are timed by it. pace reset begins anew.",
        ("pace", "pace reset"),
    ),
    "taste": Entry(
        "what your edits taught me",
        "What you swap, drop, add and keep moves later plans a little. taste reset forgets it.",
        ("taste", "taste reset"),
    ),
    "next": Entry(
        "what may come next for somebody",
        "A step up after two good classes in a row, a step back after four weeks away; I only "
        "propose it.",
        ("next ANA",),
    ),
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
    "sheet": Entry(
        "the class to print or to carry",
        "Two PDFs, one for paper and one for the phone, and a picture: clock, springs, "
        "repetitions, options, cues, the arc, who needs what, how to set the room. With a number: "
        "of that plan.",
        ("sheet", "sheet phone", "sheet picture"),
    ),
    "teach": Entry(
        "the class while you teach it",
        "One message that follows your taps: what is now, springs to set, who needs what, what "
        "comes next, time in hand. Next, back, skip, late, stop; not tapping is fine. It stops by "
        "itself half an hour after the class.",
        ("teach",),
    ),
    "early": Entry(
        "time for one exercise more",
        "Offers what fits what is left of the class; press one and it comes in.",
        ("early 5",),
    ),
    "usual": Entry(
        "what you usually teach",
        "What a plan leaves out is taken from here.",
        ("usual 50 chair",),
    ),
    "zone": Entry(
        "where you are, for the clock",
        "The name of your time zone, as Continent/City.",
        ("zone Europe/Lisbon",),
    ),
    "dates": Entry(
        "day or month first in 3/4",
        "3/4 is 3 April with the day first, 4 March with the month first.",
        ("dates day first", "dates month first"),
    ),
    "start": Entry("begin again with three taps", "Zone, apparatus, usual minutes.", ("start",)),
    "help": Entry("this list, or one command", "Name a command for more.", ("help plan",)),
}

"""How the commands go that make a class, keep it and change it."""

from bot.wording.entries.entry import Entry

CLASSES: dict[str, Entry] = {
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
}

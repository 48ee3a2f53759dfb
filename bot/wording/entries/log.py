"""How the commands go that follow a class that was taught."""

from bot.wording.entries.entry import Entry

LOG: dict[str, Entry] = {
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
}

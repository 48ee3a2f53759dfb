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
    "exercise": Entry(
        "look one up by name",
        "Any name you use will do, typos too; add the apparatus if it is on several.",
        ("exercise mermaid chair", "exercise tendon stretch"),
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
    "start": Entry("begin again with three taps", "Zone, apparatus, usual minutes.", ("start",)),
    "help": Entry("this list, or one command", "Name a command for more.", ("help plan",)),
}

"""How the commands go that are about her and her words."""

from bot.wording.entries.entry import Entry

SETTING: dict[str, Entry] = {
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

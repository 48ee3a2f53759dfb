"""How the commands go that are about exercises and springs."""

from bot.wording.entries.entry import Entry

LIBRARY: dict[str, Entry] = {
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
}

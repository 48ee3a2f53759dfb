"""How the commands go that take a class to work."""

from bot.wording.entries.entry import Entry

TEACHING: dict[str, Entry] = {
    "sheet": Entry(
        "the class to print or to carry",
        "Two PDFs, one for paper and one for the phone, and a picture: clock, springs, "
        "repetitions, options, cues, the arc, who needs what, how to set the room. With a number: "
        "of that plan.",
        ("sheet", "sheet phone", "sheet picture"),
    ),
    "handover": Entry(
        "the class for a colleague who takes it",
        "The run sheet to send on: the plan, the room, people by their first name with what to "
        "change. No notes, no reasons. With a day or a number: of that class.",
        ("handover", "handover tue"),
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
}

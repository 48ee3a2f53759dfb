"""Questions: what is missing, first contact, strangers."""

STRANGER = "Hello. This helper is by invitation only; please ask the person who runs it for a code."
BAD_CODE = (
    "That code isn't valid any more, or never was. Please ask the person who runs it for a new one."
)
HOW_LONG = "How many minutes is the class?"
ON_WHAT = "On which apparatus?"
WHERE = "Welcome. First, where do you teach? It sets the clock."
WHICH_APPARATUS = "Which apparatus do you teach on most?"
USUAL_MINUTES = "How long is a usual class?"
READY = "All set. Here is a first class; say help for more."
PRIVATE_ONLY = "I keep classes and people out of group chats. Please write to me privately."
NO_ZONE = "I don't know the zone “{zone}”. Say it like zone Europe/Lisbon."
ZONE_SET = "Your clock is set to {zone}; it is {now} there."
DATES_SET = "3/4 is {what} for you."
DATE_ORDERS = {False: "3 April", True: "4 March"}
HABIT_SET = "Kept: {what} when you don't say otherwise."
AS_USUAL = "{what} as usual."
REMEMBERED = "I'll take {what} as your usual from now on."
READ_AS = "I read “{typed}” as {meaning}."
NEW_GROUP = "{group} is new to me: I know of nobody in it, so nobody's cautions are considered."
KNOWN_GROUP = "I hold no notes on the people in {group} yet: check their cautions yourself."
NO_PLAN_PROVEN = "That can't be done as asked."
NO_PLAN_FOUND = "I found no class that keeps every rule; the nearest fell short here:"
GIVE_UP = "It works if you give up one of these:"
WITHOUT = "Give up {what}"
TRY_WITHOUT = "Leave something out, or change the minutes, and ask again."
STALE_BUTTON = "That button is too old. Say it in words, please."
BROKEN = "Something went wrong on my side; nothing is changed. Please try again."
EXAMPLES = "For example:"
COMMANDS = "What you can say:"

MINUTES = (25, 45, 50, 55)
ZONES = ("Europe/London", "Europe/Berlin", "America/New_York", "America/Los_Angeles")
ANOTHER, WHY, SHOW, MORE, UNDO = "Another", "Why", "Whole class", "More", "Undo"
MODS = "Who needs what"
ALL_HELP = "All commands"
OTHER_ZONE = "Elsewhere: type zone and your city, like zone Asia/Tokyo."

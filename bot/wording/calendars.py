"""Calendar files: what was given out, what was found in one."""

NAME = "Coilbook"
SENT = "Your diary as a calendar file: {classes} in the diary, {reminders} to remind of."
NO_NAMES = "It has no names of clients in it."
WITH_NAMES = "It has names of clients in it: keep it to yourself."
NAMES_BUTTON = "With names"
EMPTY = "There is nothing to put into a calendar yet. Say class tue 18:00 weekly 50 chair"
HOW = (
    "Send me a calendar file (.ics), or paste it after the word import, on lines of its own: it "
    "begins with BEGIN:VCALENDAR. I show what is in it, and you choose what to keep."
)
FOUND = "In that file there is this. Tap what you want to keep."
NOTHING = "There is nothing to come in that file."
MORE = "And {count} more; send a smaller file for those."
UNREAD = "{count} entries could not be read."
KEEP = "{title} {when}"
KEEP_AWAY = "Away {span}"
A_CLASS, A_QUESTION, A_REMINDER = "class", "Ask somebody", "Reminder"

"""What the terminal door and the start of the program say for themselves."""

NO_STEERING = (
    "{line}: a line with @ steers this terminal. There is @now 2026-12-01T18:00 or @now +2h, "
    "@as NAME, @chat group or @chat private, @tap 2 or @tap LABEL, @files FOLDER."
)
NO_FOLDER = "There is no folder {name}. Make it first; files of replies then go there."
FILE = "({name}, {size} kB)"
PUT = "Put into {folder}, for your eyes only."
NOT_PUT = "To have files: say @files and a folder, then ask again."
NO_TIME = "@now takes a time like 2026-12-01T18:00 or a span like +2h; not {text}"
NO_BUTTON = "No button {wanted}. There are: {labels}"
WELCOME = "Coilbook. Try: plan 50 chair. Say help for more, Ctrl-D to leave."
FIRST_CODE = "Nobody is admitted yet. Send this to the bot within a day, once: /start {code}"
SERVING = "Listening. Ctrl-C stops."
NO_KEY = (
    "Without COILBOOK_KEY this database keeps classes only: people need a key (32 bytes in base64)."
)
ROTATED = "Sealed anew under key {number}: {rows} rows."
OLD_KEYS = (
    "Older keys ({numbers}) stay in {path} for earlier backups; take them out when those are gone."
)
SAME_KEY = "To change the key, set COILBOOK_KEY to 2:NEW,1:OLD and say rotate again."
NOT_OPENED = "{count} fields could not be opened by any key and are as they were."
NOTHING_SEALED = "Nothing is sealed here: there is no key. Set COILBOOK_KEY."
REFUSED = "The channel does not know this token. Check COILBOOK_TOKEN."

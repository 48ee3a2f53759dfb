"""What backups and restores say for themselves."""

COPIED = "Copied and checked: {path} ({size}, shape {revision})."
WITH_KEYS = "Its key is in {path}: whoever has both can read everything. Keep them apart."
WITHOUT_KEYS = "The key is not in it, and without the key it can't be read: keep a copy of {where}."
IN_FILE = "{path} somewhere else"
IN_SETTING = "COILBOOK_KEY"
REMOVED = "Removed {count} older; the newest {kept} are kept."
RESTORED = "Restored: {path}, from {copy}."
ASIDE = "What was there before lies in {path}: remove it when you no longer need it."
ERASE_AGAIN = "What was erased after that copy was made is in it again: erase it again."
KEY_NEEDED = (
    "The copy is sealed and its key is not here. Put the key file at {path} (chmod 600), "
    "or set COILBOOK_KEY."
)
NO_FILE = (
    "This command is for a database that is a file. PostgreSQL has its own: "
    "pg_dump --format=custom --file=FILE ADDRESS, and pg_restore --clean --if-exists --no-owner "
    "--dbname=ADDRESS FILE, with the address as postgresql://..."
)
ALL_RIGHT = "Everything is set up. Start it with: python -m bot serve"
NO_KEY = "COILBOOK_KEY is not set: classes are kept, but nobody's people can be."
NOT_WRITABLE = "the folder {path} may not be written; give it to whoever runs the program"
WILL_BE_MADE = "The database is not there yet and will be made at the first start."
WILL_BE_MIGRATED = "The database is of an older version; the first start brings it up to date."
CURRENT = "The database is there, of this version, and opens."

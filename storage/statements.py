"""What is asked of drawers all the time, built once: building costs more than asking."""

from collections.abc import Mapping

from sqlalchemy import Table, bindparam, delete, insert, select, update

from storage import diary_tables, people_tables
from storage.drawers import Drawer

FILES = (people_tables, diary_tables)  # of the tables that drawers have
TABLES: Mapping[str, Table] = FILES[0].Row.metadata.tables


class Statements:
    """What is asked of one drawer.

    `of` is the owner, `at` a number, or several.
    """

    def __init__(self, drawer: Drawer) -> None:
        table = TABLES[drawer]
        hers = table.c.owner == bindparam("of")
        this = (hers, table.c.id == bindparam("at"))
        newest = select(table.c.id).where(hers).order_by(table.c.id.desc())
        self.get = select(table).where(*this)
        these = table.c.id.in_(bindparam("at", expanding=True))
        self.some = select(table).where(hers, these)
        if "name_key" in table.c:
            these = table.c.name_key.in_(bindparam("named", expanding=True))
            self.named = select(table).where(hers, these)
        self.update = update(table).where(*this)
        self.insert = insert(table)
        self.surplus = newest.offset(bindparam("at")).limit(1)
        self.until = delete(table).where(hers, table.c.id <= bindparam("at"))


STATEMENTS = {drawer: Statements(drawer) for drawer in Drawer}

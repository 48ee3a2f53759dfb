"""The steps by which the shape of the database has changed."""

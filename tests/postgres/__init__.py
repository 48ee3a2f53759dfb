"""A real PostgreSQL server for the tests, from a pip-installed build."""

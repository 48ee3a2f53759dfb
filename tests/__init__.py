"""The tests, by height."""

"""Checks of the search against the outside: published optima and an independent exact model."""

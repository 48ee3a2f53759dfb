"""Run sheets, set."""

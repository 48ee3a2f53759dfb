"""Values, findings and errors -> sentences; the only place with text that people read."""

"""Core values in, core values out; no row leaves."""

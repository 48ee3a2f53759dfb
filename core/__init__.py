"""Pure planning of apparatus classes: no clock, network, database or logging."""

"""Help, a file a theme."""

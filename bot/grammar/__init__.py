"""From a line of text to a typed command, or to a question about what was not understood."""

"""From a line of text to a typed command, or to a question about the word that was not understood."""

"""The doors and the words: messages in, replies out."""

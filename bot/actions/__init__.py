"""Command + store -> reply; plain synchronous functions that never see a channel."""

"""A loopback stand-in of the channel's Bot API that checks every call it gets."""

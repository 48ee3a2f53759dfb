"""The messaging-channel door: updates in, messages out."""

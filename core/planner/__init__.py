"""From a brief to a plan: the abstract problem, the search for it, and the trade around both."""

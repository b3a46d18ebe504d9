"""A season of forty runs on one invented farm, and what it comes to, reckoned without our own code."""

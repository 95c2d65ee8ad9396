"""Floor 4, enough of everything: thread, cloth, stash, forecast."""

"""Floor 4, enough of everything: thread, cloth, stash, forecast (empty until that issue is taken)."""

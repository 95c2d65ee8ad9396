"""Floor 3, where next: the band, the place, runs and what to stitch now."""

"""Floor 1, what is printed: squares, key, stitches, and the open file they live in."""

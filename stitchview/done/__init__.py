"""Floor 2, what is stitched: marks, their history, and the file beside the chart."""

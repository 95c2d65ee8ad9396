"""Floor 5, the chart on screen: drawing it, and turning hands' movements into areas."""

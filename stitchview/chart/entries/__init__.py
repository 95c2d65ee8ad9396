"""What chart.json and squares.txt say, turned into a chart with every check, and back."""

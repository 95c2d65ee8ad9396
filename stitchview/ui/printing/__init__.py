"""The dialog that prints a chart, and its way to a printer."""

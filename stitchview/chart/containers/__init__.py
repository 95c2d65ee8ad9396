"""What holds the entries of a chart, a ZIP file or a folder, opened without harm."""

"""Floor 7, asked without the window: each command thin, calling plain functions of the floors below."""

"""Floor 6, the window: panels, dialogs and actions around the canvas."""

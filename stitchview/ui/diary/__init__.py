"""The diary window: sittings, what is new, and when it will be done."""

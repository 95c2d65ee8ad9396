"""The tables of actions, one for each subject; `ui/actions.py` puts them together."""

"""Follow a counted-thread chart: chart file -> Chart -> canvas -> marks -> done layer -> done file."""

__version__ = "0.1.0"

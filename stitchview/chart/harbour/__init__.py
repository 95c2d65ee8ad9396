"""Our own harbour at dusk, painted by rule and turned into a chart, for samples and for trying things out."""

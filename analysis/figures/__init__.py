"""Pictures: each function draws on the Axes it is given and returns its artists. No sums here, no pyplot state."""

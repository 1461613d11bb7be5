"""From what a yard can measure to bodies and weights."""

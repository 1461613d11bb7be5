"""Controls: what a reader chooses (state), what comes of it in words and rows, and the panel that shows both.

The state knows no widget, the answer knows neither, and the panel does no sums.
"""

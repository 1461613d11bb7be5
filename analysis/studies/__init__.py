"""One module a question; each returns frozen results and pandas tables. Draws nothing, prints nothing."""

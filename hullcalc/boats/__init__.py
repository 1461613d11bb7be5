"""The boat folder and the boat it describes."""

"""One game in progress: logging it, advice for the pitch to come, how well we are read."""

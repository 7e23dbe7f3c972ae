"""What happened, and keeping it: people, games as streams of entries, bullpens, the store."""

"""What an opponent could read in our pitches, what it is worth to him, and what to practise."""

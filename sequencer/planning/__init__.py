"""Numbers in, plan out: the at-bat as a game that nobody can read."""

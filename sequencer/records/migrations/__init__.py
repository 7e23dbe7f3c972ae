"""The tables of a book and every step from the first version on."""

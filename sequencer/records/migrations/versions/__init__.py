"""One file per version of the book, oldest first."""

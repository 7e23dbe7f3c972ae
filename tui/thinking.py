"""What takes time: the next call, plans, traits, reviews; on a thread and connection of its own."""

from sequencer.records.store import Book, open_book


class Thinker:
    """Computes for the screens from a connection of its own; frames are kept until rows change."""

    def __init__(self, path: str) -> None:
        self.book: Book = open_book(path)

    def close(self) -> None:
        """Let go of the book."""
        self.book.close()

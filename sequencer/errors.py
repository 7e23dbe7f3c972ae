"""One error base whose messages are sentences a coach can act on."""


class CoachError(Exception):
    """Something could not be done: says what, where and what to do, in one sentence."""


class BadInput(CoachError):
    """A file, a word or a number that cannot be read as meant."""


class BookError(CoachError):
    """The book cannot be opened, read or written."""


class NotInBook(CoachError):
    """A name or number the book does not hold, or holds more than once."""


class IllegalEntry(CoachError):
    """A logged entry that cannot have happened in this situation."""

"""Messages between the program and the processes that compute for it, over a pair of pipes.

Work may be stopped at any step, but never within this module (see `one_thread`): half a message
would be no good to whoever reads the next.
"""

import pickle
import struct
import threading
from typing import IO, Any, Final

_LENGTH: Final = struct.Struct("!Q")


class Wire:
    """One end: messages are any values that can be pickled, between processes of one program."""

    def __init__(self, reads: IO[bytes], writes: IO[bytes]) -> None:
        self._reads, self._writes = reads, writes
        self._writing = threading.Lock()

    def send(self, message: Any) -> None:
        """Send a message.

        Raises
        ------
        OSError
            If nobody listens any more.
        """
        body = pickle.dumps(message, pickle.HIGHEST_PROTOCOL)
        with self._writing:
            self._writes.write(_LENGTH.pack(len(body)) + body)
            self._writes.flush()

    def receive(self) -> Any:
        """Return the next message.

        Raises
        ------
        EOFError
            If the other end is gone.
        """
        (length,) = _LENGTH.unpack(self._exactly(_LENGTH.size))
        return pickle.loads(self._exactly(length))

    def _exactly(self, length: int) -> bytes:
        body = self._reads.read(length)
        if len(body) < length:
            raise EOFError
        return body

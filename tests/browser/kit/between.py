"""What stands between a browser and a server, and loses connections in the ways that a workshop's corners do."""

import select
import socket
from contextlib import suppress
from threading import Thread

PASS, REFUSE, HANG, SWALLOW = "pass", "refuse", "hang", "swallow"


class Between:
    """A proxy of TCP in one of four ways: it passes all on; it closes at once; nothing comes back, and nothing arrives;
    or what is sent by a form arrives, and its answer is lost.
    """

    def __init__(self, host: str, port: int) -> None:
        self.way = PASS
        self.posted = 0  # forms that arrived here
        self._target = (host, port)
        self._listening = socket.create_server((host, 0), backlog=100)
        self.port: int = self._listening.getsockname()[1]
        self._open = True
        self._thread = Thread(target=self._accept)
        self._thread.start()

    def close(self) -> None:
        """Listen no more; connections that are open end with it."""
        self._open = False
        with suppress(OSError):
            self._listening.shutdown(socket.SHUT_RDWR)
        self._listening.close()
        self._thread.join()

    def _accept(self) -> None:
        carriers = []
        while self._open:
            with suppress(OSError):
                near, _ = self._listening.accept()
                carriers.append(Thread(target=self._carry, args=(near,)))
                carriers[-1].start()
        for each in carriers:
            each.join()

    def _carry(self, near: socket.socket) -> None:
        with near, suppress(OSError), socket.create_connection(self._target) as far:
            posting, began = False, self.way
            while self._open and self.way != REFUSE and not (began == HANG != self.way):
                for each in select.select([near, far], [], [], 0.05)[0]:
                    data = each.recv(65536)
                    if not data:
                        return
                    if each is near and data.startswith(b"POST"):
                        posting = True
                        self.posted += 1
                    if self.way == HANG:
                        began = HANG
                    elif each is near:
                        far.sendall(data)
                    elif self.way == SWALLOW and posting:
                        return
                    else:
                        near.sendall(data)

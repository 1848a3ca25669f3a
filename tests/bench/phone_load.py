"""Asks a server for one page over and over, in a process of its own, so that the server is what
is measured. Run as `python phone_load.py PORT CONNECTIONS SECONDS`, the request on stdin; prints
answers a second."""

from __future__ import annotations

import re
import selectors
import socket
import sys
import time


def answer_length(port: int, request: bytes) -> int:
    """Bytes of one whole answer; every answer to this request has the same length."""
    with socket.create_connection(("127.0.0.1", port)) as one:
        one.sendall(request)
        data = b""
        while b"\r\n\r\n" not in data:
            data += one.recv(65536)
        head, _, _ = data.partition(b"\r\n\r\n")
        found = re.search(rb"(?i)content-length: (\d+)", head)
        if not head.startswith(b"HTTP/1.1 200") or found is None:
            raise SystemExit(head.decode("latin-1"))
        return len(head) + 4 + int(found[1])


def load(port: int, connections: int, seconds: float, request: bytes) -> float:
    """Answers a second over so many connections, each asking again when it is answered."""
    whole = answer_length(port, request)
    selector = selectors.DefaultSelector()
    open_now = [socket.create_connection(("127.0.0.1", port)) for _ in range(connections)]
    for one in open_now:
        selector.register(one, selectors.EVENT_READ, [whole])
        one.sendall(request)
    answers, begun = 0, time.monotonic()
    while (spent := time.monotonic() - begun) < seconds:
        for key, _ in selector.select(1.0):
            assert isinstance(key.fileobj, socket.socket)
            left: list[int] = key.data
            left[0] -= len(key.fileobj.recv(131072))
            if not left[0]:
                answers += 1
                left[0] = whole
                key.fileobj.sendall(request)
    for one in open_now:
        one.close()
    return answers / spent


if __name__ == "__main__":
    port, connections, seconds = int(sys.argv[1]), int(sys.argv[2]), float(sys.argv[3])
    print(load(port, connections, seconds, sys.stdin.buffer.read()))

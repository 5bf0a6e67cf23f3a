"""A block on the network: whoever asks for an address or a connection is refused, and it is remembered.

Sockets within the machine (AF_UNIX), by which processes talk, stay open. Put on PYTHONPATH under the name
`sitecustomize.py` it blocks a whole process from its start.
"""

from __future__ import annotations

import socket
import sys
from typing import Any

BLOCKED = [False]
ASKED: list[str] = []
NAMES = ("socket.getaddrinfo", "socket.gethostbyname", "socket.gethostbyaddr", "socket.getnameinfo")
WORDS = "the network is blocked"


def _watch(event: str, args: tuple[Any, ...]) -> None:
    if not BLOCKED[0]:
        return
    family = args[1] if event == "socket.__new__" else None
    if event in NAMES or family in (socket.AF_INET, socket.AF_INET6):
        ASKED.append(f"{event} {args[1:]}")
        raise OSError(WORDS)


sys.addaudithook(_watch)

if __name__ == "sitecustomize":
    BLOCKED[0] = True

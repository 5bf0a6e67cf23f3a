"""The folder on the local network, from memory: nothing of this machine but these files can be asked for."""

from __future__ import annotations

import socket
import sys
from collections.abc import Mapping
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from coaxtell.models.errors import InputError

KINDS = {
    "html": "text/html; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "svg": "image/svg+xml",
    "webmanifest": "application/manifest+json",
}
HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-cache",
    "Cross-Origin-Opener-Policy": "same-origin",
}


class Server(ThreadingHTTPServer):
    """Says nothing of a phone that goes away before it has the whole file."""

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Tell what went wrong, unless the connection was only let go."""
        if not isinstance(sys.exc_info()[1], ConnectionError):
            super().handle_error(request, client_address)


def server(files: Mapping[str, bytes], port: int) -> ThreadingHTTPServer:
    """A server of these files on every address of this machine.

    Raises InputError where the port cannot be had.
    """

    class Handler(BaseHTTPRequestHandler):
        """Answers GET and HEAD for the files' names and nothing else."""

        server_version, sys_version = "coaxtell", ""

        def do_GET(self) -> None:
            """One file, or that there is none."""
            name = self.path.partition("?")[0].lstrip("/") or "index.html"
            content = files.get(name)
            if content is None:
                self.send_error(404, "There is no such file here")
                return
            self.send_response(200)
            self.send_header("Content-Type", KINDS[name.rpartition(".")[2]])
            self.send_header("Content-Length", str(len(content)))
            for header, value in HEADERS.items():
                self.send_header(header, value)
            self.end_headers()
            if self.command == "GET":
                self.wfile.write(content)

        def do_HEAD(self) -> None:
            """The same without the file."""
            self.do_GET()

        def log_message(self, *_: object) -> None:
            """Say nothing of who asks for what."""

    try:
        return Server(("", port), Handler)
    except (OSError, OverflowError) as error:
        why = error.strerror if isinstance(error, OSError) else "no such port"
        raise InputError(f"Port {port} cannot be used ({why}); choose another with --serve PORT.") from None


def address(running: ThreadingHTTPServer) -> str:
    """The address by which a phone on this network finds it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(("192.0.2.1", 9))  # sends nothing; tells which of our addresses faces the network
            host = asked.getsockname()[0]
        except OSError:
            host = "127.0.0.1"
    return f"http://{host}:{running.server_address[1]}/"

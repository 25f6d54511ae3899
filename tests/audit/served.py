"""A built site on a loopback port, compressed as any web server would send it.

In:  a folder with the site.
Out: its address, for as long as the context lasts.
"""

from __future__ import annotations

import gzip
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

COMPRESSED = {".html", ".css", ".js", ".json", ".svg", ".txt", ".xml"}


class _Handler(SimpleHTTPRequestHandler):
    """Sends text compressed and says nothing."""

    def do_GET(self) -> None:
        file = Path(self.translate_path(self.path))
        if file.is_dir():
            file /= "index.html"
        if not file.is_file() or file.suffix not in COMPRESSED:
            super().do_GET()
            return
        body = gzip.compress(file.read_bytes(), mtime=0)
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", self.guess_type(str(file)))
        self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: object) -> None:
        pass


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Serve ``folder`` until the context ends; gives its address with a slash at the end."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Handler, directory=str(folder)))
    Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()

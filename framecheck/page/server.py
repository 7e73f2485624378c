"""The server: loopback unless told otherwise, nothing on disk, ended by a signal."""

from __future__ import annotations

import secrets
import signal
import sys
from collections.abc import Callable
from typing import Any

from framecheck.core.problem import Problem
from framecheck.core.quote import quote
from framecheck.page.app import MOST, create
from framecheck.reports import _spool

LOOPBACK = ("127.0.0.1", "localhost", "::1")


def serve(address: str, port: int, opened: Callable[[str], Any] | None = None) -> int:
    """Serve the page until SIGINT or SIGTERM; returns the exit code.

    ``port`` 0 takes a free one. ``opened`` is called with the page's address once it is there.
    Raises Problem when the extra is not installed or the address cannot be taken.
    """
    try:
        from waitress import create_server
    except ImportError:
        raise Problem("the page wants its extra: pip install 'framecheck-dumps[page]'") from None
    _spool.IN_MEMORY = 1 << 40  # a report waits in memory: nothing of a log goes to a disk
    token = None if address in LOOPBACK else secrets.token_urlsafe(18)
    hosts: list[str] = []
    app = _Late()
    try:
        server = create_server(
            app,
            host=address,
            port=port,
            threads=4,
            ident="framecheck",
            max_request_body_size=MOST + (1 << 16),
            inbuf_overflow=MOST << 1,
            outbuf_overflow=1 << 30,
            channel_timeout=60,
            clear_untrusted_proxy_headers=True,
        )
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise Problem(f"{quote(address)} port {port}: cannot be listened on ({why})") from None
    taken = server.effective_port
    names = LOOPBACK if token is None else (address, _own_name())
    for name in names:
        shown = f"[{name}]" if ":" in name else name
        hosts += [f"{shown}:{taken}", *([shown] if taken == 80 else [])]
    app.made = create(hosts, token)
    shown = f"[{address}]" if ":" in address else address
    url = f"http://{shown}:{taken}/" + (f"?token={token}" if token else "")
    print(f"framecheck page: {url}  (Ctrl-C ends it)", flush=True)
    if token:
        print("anyone who knows this address can use the page", file=sys.stderr, flush=True)
    signal.signal(signal.SIGTERM, _leave)
    if opened is not None:
        opened(url)
    server.run()
    return 0


class _Late:
    """The application, made once the port is known."""

    made: Any = None

    def __call__(self, environ: Any, start: Any) -> Any:
        return self.made(environ, start)


def _own_name() -> str:
    import socket

    return socket.gethostname().lower()


def _leave(*_: object) -> None:
    raise SystemExit(0)

"""``framecheck page``: what does a pasted log say, on a page of this machine?"""

from __future__ import annotations

import click

PORT = 8790


@click.command("page", short_help="What does a pasted log say, on a page of this machine?")
@click.option("--port", type=click.IntRange(0, 65535), default=PORT, show_default=True, metavar="N")
@click.option("--address", default="127.0.0.1", show_default=True, help="Where it listens.")
@click.option("--no-browser", is_flag=True, help="Open no browser.")
def command(port: int, address: str, no_browser: bool) -> int:
    """What does a pasted log say, on a page of this machine?

    Listens on the loopback address only, unless told otherwise (its address then holds a token).
    What is pasted stays in this machine's memory, and only until it is shown. Port 0 takes a free
    one. Ctrl-C ends it.
    """
    from framecheck.page import serve

    if no_browser:
        return serve(address, port)
    import webbrowser

    return serve(address, port, webbrowser.open)

"""The local web page: paste a log, see the report, hand it on; the same engine, nothing kept.

``create(…)`` gives the application, ``serve(…)`` runs it. Both want the extra ``page``.
"""

from framecheck.page.app import create
from framecheck.page.server import serve

__all__ = ["create", "serve"]

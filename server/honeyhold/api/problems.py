"""One shape for everything that goes wrong: RFC 9457 problem+json, with what to do about it. A browser's own window gets it as a page."""

from __future__ import annotations

import errno
import json
import logging
from base64 import b64encode
from hashlib import sha256
from http import HTTPStatus
from typing import Any

from flask import Flask, Response, request
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from peewee import DataError
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from honeyhold.errors import HoneyholdError
from honeyhold.records.errors import DiskFull, RecordsSilent, first_line

MEDIA_TYPE = "application/problem+json"
STYLE = """
  :root { color-scheme: light dark; }
  body { margin: 0 auto; padding: 1.25rem; max-width: 40rem; background: light-dark(#f6f1e4, #1d1812); color: light-dark(#2a2118, #f1e8d6);
    font: 1.125rem/1.5 system-ui, sans-serif; overflow-wrap: anywhere; }
  h1 { font-size: 1.6rem; line-height: 1.2; }
"""
PAGE_POLICY = f"default-src 'none'; style-src 'sha256-{b64encode(sha256(STYLE.encode()).digest()).decode()}'; frame-ancestors 'none'"

NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)

log = logging.getLogger("honeyhold")

DETAILS = {
    400: "This request cannot be read.",
    404: "There is nothing at this address.",
    405: "This address does not take that method.",
    413: "This is more than is taken at once.",
    415: "A body of this kind is not read here.",
}
"""In our words where nobody said more than the number."""
REMEDIES = {
    400: "Send well-formed JSON, in UTF-8.",
    404: "Check the address; the doors are listed at /api/openapi.json.",
    405: "Use another method; the doors are listed at /api/openapi.json.",
    413: "Send fewer entries at once: at most 200, and 4 MB.",
    415: "Send the body as application/json.",
    429: "Wait a little, then try again.",
}


def answer_with_problems(app: Flask) -> None:
    """Every error of the application leaves as a problem."""
    app.register_error_handler(HoneyholdError, _known)
    app.register_error_handler(RecordsSilent, _silent)
    app.register_error_handler(HTTPException, _of_the_protocol)
    app.register_error_handler(OSError, _of_the_system)
    app.register_error_handler(DataError, _not_kept)
    app.register_error_handler(Exception, _unforeseen)
    app.after_request(_for_whoever_reads)


def problem(code: str, status: int, detail: str, remedy: str, **more: Any) -> Response:
    """One problem as an answer."""
    told = {
        "type": f"urn:honeyhold:{code}",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
        "remedy": remedy or "Try again; if it stays, look at the window in which Honeyhold was started.",
        **more,
    }
    text = json.dumps(told, ensure_ascii=False).encode("utf-8", "backslashreplace")
    answer = Response(text, status=status, content_type=MEDIA_TYPE)
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _for_whoever_reads(answer: Response) -> Response:
    """A browser that was sent to an address asks for a page before anything else; everybody else gets the problem as it is."""
    if answer.mimetype != MEDIA_TYPE:
        return answer
    wished = request.accept_mimetypes
    if wished["text/html"] > wished[MEDIA_TYPE]:
        engine = Environment(loader=PackageLoader("honeyhold.api"), autoescape=True, undefined=StrictUndefined)
        page = engine.get_template("trouble.html").render(style=Markup(STYLE), **json.loads(answer.get_data()))
        answer.set_data(page.encode("utf-8", "backslashreplace"))
        answer.content_type = "text/html; charset=utf-8"
        answer.headers["Content-Security-Policy"] = PAGE_POLICY
    answer.vary.add("Accept")
    return answer


def _known(trouble: HoneyholdError) -> Response:
    errors = getattr(trouble, "errors", None)
    more = {"errors": errors} if errors else {}
    kept = getattr(trouble, "kept", None)
    if kept:
        more["kept"] = kept
    if getattr(trouble, "forget", False):
        more["forget"] = True
    if getattr(trouble, "epoch", ""):
        more["epoch"] = trouble.epoch  # type: ignore[attr-defined]
    answer = problem(trouble.code, trouble.status, str(trouble), trouble.remedy, **more)
    if trouble.status == HTTPStatus.UNAUTHORIZED:
        answer.headers["WWW-Authenticate"] = "Bearer"
    wait_s = getattr(trouble, "wait_s", None)
    if wait_s is not None:
        answer.headers["Retry-After"] = str(wait_s)
    return answer


def _of_the_protocol(trouble: HTTPException) -> Response:
    status = trouble.code or 500
    said = trouble.description if trouble.description != type(trouble).description else None
    detail = said or DETAILS.get(status) or trouble.description or HTTPStatus(status).phrase
    answer = problem(f"http-{status}", status, detail, REMEDIES.get(status, ""))
    if isinstance(trouble, MethodNotAllowed) and trouble.valid_methods:
        answer.headers["Allow"] = ", ".join(sorted(trouble.valid_methods))
    return answer


def _of_the_system(trouble: OSError) -> Response:
    """A full disk is met in other places than the records too."""
    return _known(DiskFull()) if trouble.errno in NO_ROOM else _unforeseen(trouble)


def _silent(trouble: RecordsSilent) -> Response:
    log.warning("The records do not answer: %s", trouble.__cause__)
    return _known(trouble)


def _not_kept(trouble: DataError) -> Response:
    """PostgreSQL takes neither NUL in a text nor a number past 64 bits, not even to look it up."""
    log.warning("The records cannot keep it: %s", first_line(trouble))
    return problem("unkeepable", 400, "It holds a character or a number that the records cannot keep.", "Write it without.")


def _unforeseen(trouble: Exception) -> Response:
    log.exception("An answer failed", exc_info=trouble)
    return problem("mistake", 500, "The main computer made a mistake; nothing of this request was kept.", "")

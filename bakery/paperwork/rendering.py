"""Papers set as PDF: the same templates as on screen, our own files only, tagged for screen readers."""

from functools import cache

from django.template.loader import render_to_string

from .fetcher import own_files_only

MISSING = (
    "This computer lacks the library that sets PDFs (Pango). On Debian: "
    "apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0. "
    "Until then this page prints from the browser."
)


class NoPdfHere(RuntimeError):
    """The system library is missing; the sentence says what to install."""


@cache
def _weasyprint():
    try:
        import weasyprint
    except OSError as missing:  # cannot load library 'libpango-1.0-0'
        raise NoPdfHere(MISSING) from missing
    return weasyprint


def can_print() -> bool:
    try:
        _weasyprint()
    except NoPdfHere:
        return False
    return True


def set_pdf(template: str, context: dict) -> bytes:
    """The paper as PDF/UA. Raises NoPdfHere when the library is missing. Never call it in a transaction."""
    return pdf_of(render_to_string(template, context))


def pdf_of(html: str) -> bytes:
    weasyprint = _weasyprint()
    document = weasyprint.HTML(string=html, base_url="asset:", url_fetcher=own_files_only()())
    return document.write_pdf(pdf_variant="pdf/ua-1")

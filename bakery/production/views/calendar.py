"""Her calendar at its secret address: for calendar programs, without logging in."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse, HttpResponseNotFound
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.utils.http import http_date
from django.views.decorators.http import require_safe

from bakery.studio.calendar_address import address_of, note_reading
from bakery.studio.queries import the_studio

from ..calendar_file import calendar_file, fingerprint
from ..queries.calendar import entries


@login_not_required
@require_safe
def calendar_feed(request, secret: str):
    """The stream, or 304 when the reader has it already, or nothing at all for a wrong secret."""
    own = address_of(secret)
    if own is None:
        return HttpResponseNotFound("There is nothing at this address.", content_type="text/plain")
    now, name = timezone.now(), f"{the_studio()}: baking"
    found = entries(now)
    sign = fingerprint(found, name)
    changed = note_reading(secret=secret, content_hash=sign, now=now)
    etag, stamp = f'"{sign[:32]}"', int(changed.timestamp())
    known = get_conditional_response(request, etag=etag, last_modified=stamp)
    answer = known or HttpResponse(
        calendar_file(found, name=name, house=f"{own.name}.dryby.invalid", changed=changed),
        content_type="text/calendar; charset=utf-8",
        headers={"Content-Disposition": 'inline; filename="dryby.ics"', "X-Robots-Tag": "noindex"},
    )
    answer["ETag"], answer["Cache-Control"] = etag, "private, no-cache"
    if not answer.has_header("Last-Modified"):
        answer["Last-Modified"] = http_date(stamp)
    return answer

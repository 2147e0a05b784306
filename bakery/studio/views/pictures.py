"""Pictures she added, to those who are signed in."""

from django.http import Http404, HttpResponse
from django.views.decorators.http import require_safe

from ..models import Picture


@require_safe
def picture(request, sha):
    """Named after what it shows, so a browser may keep it for good."""
    jpeg = Picture.objects.filter(sha256=sha).values_list("jpeg", flat=True).first()
    if jpeg is None:
        raise Http404
    answer = HttpResponse(bytes(jpeg), content_type="image/jpeg")
    answer["Cache-Control"] = "private, max-age=31536000, immutable"
    answer["Content-Disposition"] = "inline"
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Security-Policy"] = "default-src 'none'; frame-ancestors 'none'"
    return answer

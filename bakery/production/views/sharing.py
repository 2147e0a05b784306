"""Work that several orders share: made apart after all, or shared again."""

from django.contrib import messages
from django.utils import timezone
from django.views.decorators.http import require_POST

from .. import services
from .tonight import back


@require_POST
def share_apart(request):
    """Each order gets its own; the plan is worked out again."""
    if services.keep_apart(key=request.POST.get("share", "")[:80], now=timezone.now()):
        messages.info(request, "They are made apart. The plan is being sorted out.")
    return back()


@require_POST
def share_again(request):
    if services.let_share(key=request.POST.get("share", "")[:80]):
        messages.info(request, "They may share again. The plan is being sorted out.")
    return back()

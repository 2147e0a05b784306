"""One press: the middle of the thickest is hard, or still soft."""

from django.contrib import messages
from django.http import HttpResponseRedirect
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from ..services.touches import touched as keep
from .tonight import MOST_KEYS
from .troubles import answered

BACK = {"morning": "morning", "drying": "drying"}


@require_POST
def touched(request):
    """`hard` or `soft` names the trays. Soft, when it should be dry, is answered like any bad night."""
    hard = "hard" in request.POST
    keys = [key[:80] for key in request.POST.get("hard" if hard else "soft", "").split()[:MOST_KEYS]]
    touches, wrong = keep(keys=keys, hard=hard, now=timezone.now())
    if wrong is not None:
        return answered(wrong)
    if not touches:
        messages.info(request, "Nothing is lying there that could be touched.")
    elif hard:
        messages.success(request, "Hard: kept. These trays may go on, and your kitchen is known better.")
    else:
        messages.success(request, "Soft: kept. That was to be expected so early; touch again later.")
    name = BACK.get(request.POST.get("back", ""))
    return redirect(name) if name else HttpResponseRedirect(f"{reverse('tonight')}?list")

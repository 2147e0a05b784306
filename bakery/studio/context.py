def studio(request):
    """The studio on every page."""
    return {"studio": getattr(request, "studio", None)}

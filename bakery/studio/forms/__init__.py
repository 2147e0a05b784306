from .start import StartForm

__all__ = ["StartForm"]

"""Bottles, the colour book, the mixing bench and its swatches. NumPy comes only where something is mixed."""

"""Lists as text: what is in the cupboard and what has moved, out; a delivery or her own list, in."""

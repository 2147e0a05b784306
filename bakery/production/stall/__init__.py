"""Made for stock: what an order for the stall gave, and days out with it."""

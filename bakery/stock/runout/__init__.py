"""What will run out: the projected line of each item, what to buy by when, and the shopping list."""

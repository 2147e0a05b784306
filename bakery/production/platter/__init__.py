"""A platter, from guests to a price: the form, what is laid, and the lines of the order it becomes."""

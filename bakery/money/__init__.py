"""What came in, what it cost, and what an hour paid."""

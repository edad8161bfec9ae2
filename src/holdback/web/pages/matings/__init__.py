"""Who is with whom, and what a tap writes down of it."""

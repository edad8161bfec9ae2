"""What is due on the Desk, and the deeds that one tap writes down."""

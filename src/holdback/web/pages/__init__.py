"""The pages: what a person reads and does in the browser."""

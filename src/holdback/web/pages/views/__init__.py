"""Views: read the request, ask one query or service, show the answer."""

"""Forms: they read what is typed and leave every rule to the services."""

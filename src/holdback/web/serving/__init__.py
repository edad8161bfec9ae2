"""How the pages are served: to this computer only, or to the home network, by HTTP or HTTPS."""

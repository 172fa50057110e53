"""Who may talk to the server: one-time codes, devices, and requests that come from our own pages."""

"""One file per family of addresses; each lists its endpoints."""

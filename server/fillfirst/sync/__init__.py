"""The rules of one round between a phone and the server. PROTOCOL.md says them in full."""

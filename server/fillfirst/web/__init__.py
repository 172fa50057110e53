"""The Starlette app: routes, the web client's files, and errors turned into answers."""

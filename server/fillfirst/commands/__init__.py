"""One module per family of commands; each adds its own to the parser, and `cli` puts them together."""

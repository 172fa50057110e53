"""The shapes of the TOML files in `specs/`, as their authors write them: names and quantities still text."""

"""TOML files in, checked and linked models out."""

"""Where everything lasting is kept: events, devices, codes, photos and catalogs."""

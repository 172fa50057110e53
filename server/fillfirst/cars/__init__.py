"""Cars that an owner typed in: what is known of one, from where, and how a sheet of it travels."""

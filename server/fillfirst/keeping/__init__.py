"""What the keeper of a server does with all of its data: back up, restore, move, take out, bring in."""

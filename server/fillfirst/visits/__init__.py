"""Visits: compose (jobs and facts → steps), fold (entries → state of the car), gate and proof."""

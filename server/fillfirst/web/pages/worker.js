// Does nothing: that a phone takes it at all is what the set-up page wants to know.

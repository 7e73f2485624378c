"""What an answer repeats of its request: one file a layer, named after it."""

"""Rules: one file a subject; its name begins with the layer that its rules speak of."""

"""What would have to be undone to heal a frame: one file a kind of damage, each with its tries."""

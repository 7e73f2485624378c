"""What devices put in front of a frame: one file a shape, named by its words and their order."""

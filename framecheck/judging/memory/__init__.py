"""What is kept of the frames of one input, one file a subject: bounded, in the order they came."""

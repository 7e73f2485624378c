"""Which frame to send next, and its octets: openings, what parts the laws still standing, forms."""

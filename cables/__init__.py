"""From two named ports to the cable assembly that gets ordered."""

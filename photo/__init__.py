"""A photograph of a port: a bank card beside it gives the scale, a marked circle the width."""

"""How the reading of a face is trained, from our own tables alone: shapes, scenes, light, photometry, network."""

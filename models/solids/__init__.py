"""Closed meshes of halves, their pictures, and files for other programs."""

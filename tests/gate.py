"""The smallest site that is a whole one: a gate of our own invention, one reader, one antenna."""

SITE = """\
[site]
region = "us"
want = "24dBm"
[[reader]]
id = "R1"
port = "rp-tnc-jack"
[[antenna]]
id = "left"
reader = "R1"
port = "n-50-jack"
length = "12m"
gain = "8.5dBic"
"""

"""The geometry core: from a measured trouser block to a tapered pattern. Knows no front end."""

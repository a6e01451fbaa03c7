"""The geometry of a cut: engagement, the path of a tooth, the chip."""

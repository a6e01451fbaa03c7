"""What follows from chip and force: rubbing, bending, the wall, heat, marks, limits."""

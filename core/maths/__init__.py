"""Numerics without milling: angles, graded meshes, special functions, roots, peaks, quadrature."""

"""What a bolt can bear: threads, strength, spanners, tightening physics, order of tightening.

Plain floats with the unit in the name (mm, MPa, N, N·m, degrees). Knows nothing of
procedures, files or pages.
"""

"""Quantities, units, torque notation and intervals: what an author's figures mean. Reads no files."""

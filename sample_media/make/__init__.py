"""Draws the sample pictures: the engine space of the workboat Sallow, all of it invented.

Lengths are in decimetres, angles in degrees unless a name says otherwise. The frame of the boat is
x to starboard, y forward, z up; its origin lies under the crankshaft, midway along the block.
"""

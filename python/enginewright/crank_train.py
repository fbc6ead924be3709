"""The crank train: where the piston is at an angle, at which angle it is at a depth, how fast.

What goes wrong here: top dead centre is split from two equal dial readings although the pin is
offset (`dwell` says by how much the middle misses); the stroke is quoted as the piston's travel
(`stroke_from_travel`); accelerations are taken from the two-term series and are a percent off; a
stroked crank puts a rod into the lower edge of the bore (`rod_bore_clearance`).

    down = ew.crank_train.piston_depth([10, 20, 30], stroke=86, rod_length=145)
    angle = ew.crank_train.angle_at_depth(1.27, stroke=86, rod_length=145)
    near = ew.crank_train.dwell(1.27, stroke=86, rod_length=145, pin_offset=0.8)
    near.midpoint

Angles count from the piston's true top dead centre; `pin_offset` is positive on the side to which
the crankpin swings after it.

Caution: the figures are geometry. They leave out clearances, stretch of the rod and bending of the
crank, which a running engine takes out of every gap. A positive stop and a degree wheel find top
dead centre; turn the engine over by hand, never with the starter, while a stop or a dial is in it.
"""

from enginewright import _core

CrankTrainGeometry = _core.crank_train.CrankTrainGeometry
Dwell = _core.crank_train.Dwell
Harmonics = _core.crank_train.Harmonics
PistonSpeed = _core.crank_train.PistonSpeed
RodClearance = _core.crank_train.RodClearance
acceleration_harmonics = _core.crank_train.acceleration_harmonics
angle_at_depth = _core.crank_train.angle_at_depth
dwell = _core.crank_train.dwell
geometry = _core.crank_train.geometry
piston_acceleration = _core.crank_train.piston_acceleration
piston_depth = _core.crank_train.piston_depth
piston_speed = _core.crank_train.piston_speed
piston_velocity = _core.crank_train.piston_velocity
rod_acceleration = _core.crank_train.rod_acceleration
rod_angle = _core.crank_train.rod_angle
rod_bore_clearance = _core.crank_train.rod_bore_clearance
rod_velocity = _core.crank_train.rod_velocity
stroke_from_travel = _core.crank_train.stroke_from_travel
swept_volume = _core.crank_train.swept_volume

__all__ = [
    "CrankTrainGeometry",
    "Dwell",
    "Harmonics",
    "PistonSpeed",
    "RodClearance",
    "acceleration_harmonics",
    "angle_at_depth",
    "dwell",
    "geometry",
    "piston_acceleration",
    "piston_depth",
    "piston_speed",
    "piston_velocity",
    "rod_acceleration",
    "rod_angle",
    "rod_bore_clearance",
    "rod_velocity",
    "stroke_from_travel",
    "swept_volume",
]

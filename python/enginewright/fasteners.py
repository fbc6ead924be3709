"""Bolts: threads and their strength, torque and preload, the elastic joint, bolts used again.

What goes wrong here: torque is taken for preload, though nine tenths of it is friction; oil, paste
and dry threads stand in one row of bolts; a stretched bolt goes in again; steel bolts in alloy are
right when cold and overstretched hot.

`thread`, `property_class` and `proof_load` say what a bolt bears; `torque_for_preload`,
`preload_from_torque` and `preload_range` what a wrench leaves in it; `stretch_from_preload` and
`angle_for_preload` are the better ways to tighten. `joint` shares a working load between bolt and
parts, `thermal_preload` heats it, and `reuse` judges a bolt that comes out.

    proof = ew.fasteners.proof_load(10, 1.5, "10.9")
    band = ew.fasteners.preload_range(60, 10, nut_factor=0.15, proof_load=proof)
    band.status, band.next

Caution: the maker's torque, angle, order and lubricant go before any figure here. From dry to moly
paste at the same torque is half as much preload again. Use calibrated tools, and never stand in
line with a bar under load. A bolt that turns on without stiffening has yielded: replace the set.
Bolts tightened to yield never go in again. Fatigue, hydrogen embrittlement and damaged threads are
not judged here; local codes and licensed practice decide.
"""

from enginewright import _core

BoltReuse = _core.fasteners.BoltReuse
HotPreload = _core.fasteners.HotPreload
Joint = _core.fasteners.Joint
PreloadRange = _core.fasteners.PreloadRange
PropertyClass = _core.fasteners.PropertyClass
Thread = _core.fasteners.Thread
angle_for_preload = _core.fasteners.angle_for_preload
bolt_stiffness = _core.fasteners.bolt_stiffness
joint = _core.fasteners.joint
member_stiffness = _core.fasteners.member_stiffness
nut_factor = _core.fasteners.nut_factor
preload_from_angle = _core.fasteners.preload_from_angle
preload_from_stretch = _core.fasteners.preload_from_stretch
preload_from_torque = _core.fasteners.preload_from_torque
preload_range = _core.fasteners.preload_range
proof_load = _core.fasteners.proof_load
property_class = _core.fasteners.property_class
reuse = _core.fasteners.reuse
stretch_from_preload = _core.fasteners.stretch_from_preload
thermal_preload = _core.fasteners.thermal_preload
thread = _core.fasteners.thread
torque_for_preload = _core.fasteners.torque_for_preload

__all__ = [
    "BoltReuse",
    "HotPreload",
    "Joint",
    "PreloadRange",
    "PropertyClass",
    "Thread",
    "angle_for_preload",
    "bolt_stiffness",
    "joint",
    "member_stiffness",
    "nut_factor",
    "preload_from_angle",
    "preload_from_stretch",
    "preload_from_torque",
    "preload_range",
    "proof_load",
    "property_class",
    "reuse",
    "stretch_from_preload",
    "thermal_preload",
    "thread",
    "torque_for_preload",
]

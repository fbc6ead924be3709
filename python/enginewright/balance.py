"""Balance: from spins of a crank to vectors, from vectors to verdicts, from verdicts to holes.

Stand at the front (timing, pulley) end. `z` grows from there towards the flywheel; angles are fixed
to the rotor, counted clockwise from its zero mark (No. 1 crankpin unless the job says otherwise). A
vector is a complex number in g mm and points to the heavy side; `uncertainty` is standard, per
axis. Tolerance planes are the bearings, measuring planes what the machine reports, sites the places
where work may be done: all three are plain positions `z`.

What goes wrong here: angles counted the other way round put the hole on the wrong side; a machine
set up without tolerances passes everything; a trial mass too small to see teaches noise; a pulley's
error is drilled out of the crank, which then suits no other pulley; a depth is read at the shoulder
where the drill's point counts; a second correction is no better than the first because nobody asked
what the first had taught.

`vector` and `rotor_angle` bring any machine's reading here, `repeat_runs` says how sure it is,
`staged_assembly` which part is to blame, `residual_verdict` whether it is within, `plan_correction`
where to work, and `BalanceRecord` keeps what happened and learns from it.

    sites = [ew.balance.Site(f"CW{i + 1}", "drill", 45 * i, 0 if i % 2 else 360, 82, diameter=14,
                             maximum_depth=25) for i in range(8)]
    record = ew.balance.BalanceRecord([0, 360], tolerance=60, uncertainty=5)
    record = record.with_run(ew.balance.vector([410, 260], [20, 205]))
    plan = ew.balance.plan_correction(record.entries[-1].vectors, [0, 360], sites, 60)
    plan.next, plan.probability
    record = record.with_correction(plan.nominal_change)
    record.predicted()

Caution: a spinning rotor kills. Guards closed; trial masses and bobweights bolted or clamped and
pulled by hand; nobody in the plane of rotation; low speed first; follow the machine's manual and
local codes. Drill only where the design allows; keep off journals, fillets, oilways and the edges
of webs, and mind the wall between holes; afterwards clean out every chip and oilway. Slugs of heavy
metal go in parallel to the crank's axis where possible, with an interference fit and a positive
lock: a radial slug can leave the engine. Tungsten dust is not for breathing, nor is the dust of old
clutch linings (asbestos). A flywheel or pulley that is cracked, repaired or of unknown history is
scrapped, not balanced; competition may ask for certified parts. The figures assume a rigid rotor,
well below its first bending resonance, and the bobweights stated; they say nothing about torsional
vibration or the strength of what is left after drilling.
"""

from enginewright import _core

BalanceEntry = _core.balance.BalanceEntry
BalanceRecord = _core.balance.BalanceRecord
BearingForce = _core.balance.BearingForce
Correction = _core.balance.Correction
CorrectionPlan = _core.balance.CorrectionPlan
CorrectionPlaneTolerance = _core.balance.CorrectionPlaneTolerance
Grade = _core.balance.Grade
Ground = _core.balance.Ground
Hole = _core.balance.Hole
HoleDepth = _core.balance.HoleDepth
Indexed = _core.balance.Indexed
Influence = _core.balance.Influence
Operation = _core.balance.Operation
PlanSimulation = _core.balance.PlanSimulation
PlaneReading = _core.balance.PlaneReading
ResidualVerdict = _core.balance.ResidualVerdict
Response = _core.balance.Response
Runs = _core.balance.Runs
Site = _core.balance.Site
Slug = _core.balance.Slug
Split = _core.balance.Split
Stage = _core.balance.Stage
StageFinding = _core.balance.StageFinding
StaticCouple = _core.balance.StaticCouple
ToleranceSplit = _core.balance.ToleranceSplit
Traverse = _core.balance.Traverse
achieved_grade = _core.balance.achieved_grade
allocate_tolerance = _core.balance.allocate_tolerance
amount_of = _core.balance.amount_of
angle_of = _core.balance.angle_of
apply_plan = _core.balance.apply_plan
balance_grades = _core.balance.balance_grades
bearing_force = _core.balance.bearing_force
correction_plane_tolerance = _core.balance.correction_plane_tolerance
eccentricity = _core.balance.eccentricity
ground_moment = _core.balance.ground_moment
hard_bearing_reading = _core.balance.hard_bearing_reading
hole_depth = _core.balance.hole_depth
hole_moment = _core.balance.hole_moment
index_balance = _core.balance.index_balance
influence_coefficients = _core.balance.influence_coefficients
learn_response = _core.balance.learn_response
mass_at_radius = _core.balance.mass_at_radius
minimum_speed = _core.balance.minimum_speed
permissible_eccentricity = _core.balance.permissible_eccentricity
permissible_residual = _core.balance.permissible_residual
plan_correction = _core.balance.plan_correction
plan_outcomes = _core.balance.plan_outcomes
plane_share = _core.balance.plane_share
probability_within = _core.balance.probability_within
reduction_ratio = _core.balance.reduction_ratio
repeat_runs = _core.balance.repeat_runs
required_correction = _core.balance.required_correction
residual_verdict = _core.balance.residual_verdict
rotor_angle = _core.balance.rotor_angle
simulate_plan = _core.balance.simulate_plan
slug_moment = _core.balance.slug_moment
split_between = _core.balance.split_between
staged_assembly = _core.balance.staged_assembly
static_couple = _core.balance.static_couple
to_planes = _core.balance.to_planes
traverse = _core.balance.traverse
trial_unbalance = _core.balance.trial_unbalance
unbalance = _core.balance.unbalance
unbalance_force = _core.balance.unbalance_force
vector = _core.balance.vector

__all__ = [
    "BalanceEntry",
    "BalanceRecord",
    "BearingForce",
    "Correction",
    "CorrectionPlan",
    "CorrectionPlaneTolerance",
    "Grade",
    "Ground",
    "Hole",
    "HoleDepth",
    "Indexed",
    "Influence",
    "Operation",
    "PlanSimulation",
    "PlaneReading",
    "ResidualVerdict",
    "Response",
    "Runs",
    "Site",
    "Slug",
    "Split",
    "Stage",
    "StageFinding",
    "StaticCouple",
    "ToleranceSplit",
    "Traverse",
    "achieved_grade",
    "allocate_tolerance",
    "amount_of",
    "angle_of",
    "apply_plan",
    "balance_grades",
    "bearing_force",
    "correction_plane_tolerance",
    "eccentricity",
    "ground_moment",
    "hard_bearing_reading",
    "hole_depth",
    "hole_moment",
    "index_balance",
    "influence_coefficients",
    "learn_response",
    "mass_at_radius",
    "minimum_speed",
    "permissible_eccentricity",
    "permissible_residual",
    "plan_correction",
    "plan_outcomes",
    "plane_share",
    "probability_within",
    "reduction_ratio",
    "repeat_runs",
    "required_correction",
    "residual_verdict",
    "rotor_angle",
    "simulate_plan",
    "slug_moment",
    "split_between",
    "staged_assembly",
    "static_couple",
    "to_planes",
    "traverse",
    "trial_unbalance",
    "unbalance",
    "unbalance_force",
    "vector",
]

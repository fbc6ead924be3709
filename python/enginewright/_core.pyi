"""Types of the extension: one class stands for each submodule, a bench."""

from collections.abc import Iterator, Sequence
from math import inf
from typing import Any, ClassVar, TypeAlias

from numpy.typing import ArrayLike

Numbers: TypeAlias = ArrayLike

__version__: str

class crank_train:
    class CrankTrainGeometry:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        crank_radius: Any
        travel: Any
        rod_ratio: Any
        tdc_crank_angle: Any
        bdc_angle: Any
        largest_rod_angle: Any
        wrist_height_tdc: Any
        wrist_height_bdc: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Dwell:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        before: Any
        after: Any
        total: Any
        midpoint: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Harmonics:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        order: Any
        cosine: Any
        sine: Any
        amplitude: Any
        phase: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class PistonSpeed:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        mean: Any
        peak_down: Any
        peak_down_angle: Any
        peak_up: Any
        peak_up_angle: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class RodClearance:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        clearance: Any
        angle: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def acceleration_harmonics(
        *,
        stroke: float,
        rod_length: float,
        pin_offset: float = 0.0,
        orders: int = 8,
        reference: str = "tdc",
    ) -> crank_train.Harmonics: ...
    @staticmethod
    def angle_at_depth(
        depth: Numbers,
        *,
        stroke: Numbers,
        rod_length: Numbers,
        pin_offset: Numbers = 0.0,
        side: str = "after",
    ) -> Any: ...
    @staticmethod
    def dwell(
        depth: float, *, stroke: float, rod_length: float, pin_offset: float = 0.0
    ) -> crank_train.Dwell: ...
    @staticmethod
    def geometry(
        *, stroke: float, rod_length: float, pin_offset: float = 0.0
    ) -> crank_train.CrankTrainGeometry: ...
    @staticmethod
    def piston_acceleration(
        angle: Numbers,
        *,
        stroke: Numbers,
        rod_length: Numbers,
        pin_offset: Numbers = 0.0,
        speed: Numbers,
    ) -> Any: ...
    @staticmethod
    def piston_depth(
        angle: Numbers, *, stroke: Numbers, rod_length: Numbers, pin_offset: Numbers = 0.0
    ) -> Any: ...
    @staticmethod
    def piston_speed(
        *, stroke: float, rod_length: float, pin_offset: float = 0.0, speed: float
    ) -> crank_train.PistonSpeed: ...
    @staticmethod
    def piston_velocity(
        angle: Numbers,
        *,
        stroke: Numbers,
        rod_length: Numbers,
        pin_offset: Numbers = 0.0,
        speed: Numbers,
    ) -> Any: ...
    @staticmethod
    def rod_acceleration(
        angle: Numbers,
        *,
        stroke: Numbers,
        rod_length: Numbers,
        pin_offset: Numbers = 0.0,
        speed: Numbers,
    ) -> Any: ...
    @staticmethod
    def rod_angle(
        angle: Numbers, *, stroke: Numbers, rod_length: Numbers, pin_offset: Numbers = 0.0
    ) -> Any: ...
    @staticmethod
    def rod_bore_clearance(
        *,
        bore: float,
        stroke: float,
        rod_length: float,
        pin_offset: float = 0.0,
        bore_bottom: float,
        rod_width: float,
    ) -> crank_train.RodClearance: ...
    @staticmethod
    def rod_velocity(
        angle: Numbers,
        *,
        stroke: Numbers,
        rod_length: Numbers,
        pin_offset: Numbers = 0.0,
        speed: Numbers,
    ) -> Any: ...
    @staticmethod
    def stroke_from_travel(
        travel: Numbers, rod_length: Numbers, pin_offset: Numbers = 0.0
    ) -> Any: ...
    @staticmethod
    def swept_volume(
        angle: Numbers,
        *,
        bore: Numbers,
        stroke: Numbers,
        rod_length: Numbers,
        pin_offset: Numbers = 0.0,
    ) -> Any: ...

class balance:
    class BalanceEntry:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        kind: Any
        vectors: Any
        uncertainty: Any
        note: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class BalanceRecord:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        name: Any
        planes: Any
        tolerance: Any
        tolerance_planes: Any
        uncertainty: Any
        level: Any
        prior: Any
        entries: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def with_run(self, reading: Any, uncertainty: Any = None, note: str = "") -> Any: ...
        def with_correction(self, change: Any, note: str = "") -> Any: ...
        def response(self) -> Any: ...
        def predicted(self) -> Any: ...
        def rows(self) -> list[dict[str, Any]]: ...
        def verdict(self) -> Any: ...
        def to_json(self) -> str: ...
        @staticmethod
        def from_json(text: str) -> Any: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class BearingForce:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        force: Any
        amount: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Correction:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        correction: Any
        unbalance: Any
        predicted: Any
        predicted_rms: Any
        uncertainty: Any
        condition: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class CorrectionPlan:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        status: Any
        limit: Any
        reason: Any
        next: Any
        operations: Any
        residual: Any
        ratio: Any
        worst: Any
        spread: Any
        probability: Any
        lower_bound: Any
        optimal: Any
        excluded: Any
        nominal_change: Any
        mass: Any
        unbalance: Any
        planes: Any
        tolerance: Any
        tolerance_planes: Any
        target: Any
        maximum_operations: Any
        wall: Any
        response: Any
        depth_error: Any
        angle_error: Any
        mass_error: Any
        uncertainty: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class CorrectionPlaneTolerance:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        plane_1: Any
        plane_2: Any
        transfer: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Grade:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        grade: Any
        examples: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Ground:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        mass: Any
        moment: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Hole:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        mass: Any
        moment: Any
        shoulder_depth: Any
        tip_length: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class HoleDepth:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        depth: Any
        moment: Any
        status: Any
        short_by: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Indexed:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        rotor: Any
        tooling: Any
        rotor_uncertainty: Any
        tooling_uncertainty: Any
        scatter: Any
        count: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Influence:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        matrix: Any
        baseline: Any
        matrix_uncertainty: Any
        scatter: Any
        degrees_of_freedom: Any
        condition: Any
        warnings: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Operation:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        site: Any
        kind: Any
        setting: Any
        angle: Any
        position: Any
        moment: Any
        mass: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class PlanSimulation:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        probability: Any
        probability_both: Any
        mean: Any
        spread: Any
        worst_95: Any
        draws: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class PlaneReading:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        unbalance: Any
        transfer: Any
        condition: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class ResidualVerdict:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        verdict: Any
        probability: Any
        ratio: Any
        overall: Any
        worst_plane: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Response:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        matrix: Any
        uncertainty: Any
        count: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Runs:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        vector: Any
        amount: Any
        angle: Any
        count: Any
        covariance: Any
        scatter: Any
        uncertainty: Any
        amount_uncertainty: Any
        angle_uncertainty: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Site:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        name: Any
        kind: Any
        angle: Any
        position: Any
        radius: Any
        direction: Any
        sense: Any
        diameter: Any
        point_angle: Any
        existing_depth: Any
        minimum_depth: Any
        maximum_depth: Any
        step: Any
        density: Any
        slug_density: Any
        width: Any
        half_angle: Any
        sizes: Any
        web: Any
        edge: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Slug:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        mass: Any
        moment: Any
        hole_depth: Any
        slug_mass: Any
        hole_mass: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Split:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        amount_1: Any
        amount_2: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Stage:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        name: Any
        found: Any
        left: Any
        uncertainty: Any
        tolerance: Any
        removable: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class StageFinding:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        name: Any
        contribution: Any
        amount: Any
        angle: Any
        uncertainty: Any
        verdict: Any
        overall: Any
        worst_plane: Any
        ratio: Any
        found: Any
        left: Any
        advice: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class StaticCouple:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        static: Any
        static_amount: Any
        static_angle: Any
        couple: Any
        couple_amount: Any
        couple_angle: Any
        couple_pair: Any
        kind: Any
        reason: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class ToleranceSplit:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        plane_a: Any
        plane_b: Any
        share_a: Any
        share_b: Any
        lever_share_a: Any
        lever_share_b: Any
        arrangement: Any
        limited: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Traverse:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        unbalance: Any
        amount: Any
        angle: Any
        sensitivity: Any
        fit: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def achieved_grade(amount: Any, rotor_mass: Any, speed: Any) -> Any: ...
    @staticmethod
    def allocate_tolerance(amount: Any, bearing_a: Any, bearing_b: Any, centre: Any) -> Any: ...
    @staticmethod
    def amount_of(vector: Any) -> Any: ...
    @staticmethod
    def angle_of(vector: Any) -> Any: ...
    @staticmethod
    def apply_plan(plan: Any, sites: Any, as_made: Any = None) -> Any: ...
    @staticmethod
    def balance_grades() -> Any: ...
    @staticmethod
    def bearing_force(unbalance: Any, positions: Any, bearings: Any, speed: Any) -> Any: ...
    @staticmethod
    def correction_plane_tolerance(
        tolerance: Any, tolerance_planes: Any, correction_planes: Any
    ) -> Any: ...
    @staticmethod
    def eccentricity(amount: Any, rotor_mass: Any) -> Any: ...
    @staticmethod
    def ground_moment(
        radius: Any, thickness: Any, width: Any, half_angle: Any, density: Any = 7.85
    ) -> Any: ...
    @staticmethod
    def hard_bearing_reading(
        force_left: Any, force_right: Any, a: Any, b: Any, c: Any, speed: Any
    ) -> Any: ...
    @staticmethod
    def hole_depth(
        moment: Any,
        radius: Any,
        diameter: Any,
        direction: str = "radial",
        point_angle: Any = 118.0,
        existing_depth: Any = 0.0,
        maximum_depth: Any = None,
        density: Any = 7.85,
    ) -> Any: ...
    @staticmethod
    def hole_moment(
        radius: Any,
        depth: Any,
        diameter: Any,
        direction: str = "radial",
        point_angle: Any = 118.0,
        existing_depth: Any = 0.0,
        density: Any = 7.85,
    ) -> Any: ...
    @staticmethod
    def index_balance(readings: Any, index_angles: Any) -> Any: ...
    @staticmethod
    def influence_coefficients(states: Any, readings: Any, weights: Any = None) -> Any: ...
    @staticmethod
    def learn_response(planned: Any, measured: Any, uncertainty: Any, prior: Any = 0.2) -> Any: ...
    @staticmethod
    def mass_at_radius(amount: Any, radius: Any) -> Any: ...
    @staticmethod
    def minimum_speed(amount: Any, force_noise: Any, ratio: Any = 5.0) -> Any: ...
    @staticmethod
    def permissible_eccentricity(speed: Any, grade: Any) -> Any: ...
    @staticmethod
    def permissible_residual(rotor_mass: Any, speed: Any, grade: Any) -> Any: ...
    @staticmethod
    def plan_correction(
        unbalance: Any,
        planes: Any,
        sites: Any,
        tolerance: Any,
        tolerance_planes: Any = None,
        target: Any = 0.5,
        maximum_operations: Any = 4,
        wall: Any = 2.0,
        response: Any = None,
        depth_error: Any = 0.2,
        angle_error: Any = 1.0,
        mass_error: Any = 0.05,
        uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def plan_outcomes(plan: Any, sites: Any, draws: Any = 20000, seed: Any = 1) -> Any: ...
    @staticmethod
    def plane_share(position: Any, planes: Any) -> Any: ...
    @staticmethod
    def probability_within(amount: Any, uncertainty: Any, tolerance: Any) -> Any: ...
    @staticmethod
    def reduction_ratio(before: Any, after: Any) -> Any: ...
    @staticmethod
    def repeat_runs(
        readings: Any,
        machine_uncertainty: Any = 0.0,
        speeds: Any = None,
        minimum_speed: Any = None,
        speed_band: Any = 0.02,
    ) -> Any: ...
    @staticmethod
    def required_correction(
        influence: Any, readings: Any, weights: Any = None, uncertainty: Any = 0.0
    ) -> Any: ...
    @staticmethod
    def residual_verdict(
        residual: Any, tolerance: Any, uncertainty: Any = 0.0, level: Any = 0.95
    ) -> Any: ...
    @staticmethod
    def rotor_angle(
        reading: Any, zero: Any = 0.0, seen_from: str = "front", counted: str = "clockwise"
    ) -> Any: ...
    @staticmethod
    def simulate_plan(plan: Any, sites: Any, draws: Any = 20000, seed: Any = 1) -> Any: ...
    @staticmethod
    def slug_moment(
        radius: Any,
        length: Any,
        diameter: Any,
        direction: str = "radial",
        point_angle: Any = 118.0,
        slug_density: Any = 17.0,
        density: Any = 7.85,
        recess: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def split_between(unbalance: Any, angle_1: Any, angle_2: Any) -> Any: ...
    @staticmethod
    def staged_assembly(stages: Any, level: Any = 0.95) -> Any: ...
    @staticmethod
    def static_couple(unbalance: Any, planes: Any, centre: Any, permissible: Any = None) -> Any: ...
    @staticmethod
    def to_planes(unbalance: Any, positions: Any, planes: Any) -> Any: ...
    @staticmethod
    def traverse(readings: Any, angles: Any, test_amount: Any, initial: Any = None) -> Any: ...
    @staticmethod
    def trial_unbalance(rotor_mass: Any, speed: Any, fraction: Any = 0.1) -> Any: ...
    @staticmethod
    def unbalance(mass: Any, radius: Any, angle: Any = 0.0, spot: str = "heavy") -> Any: ...
    @staticmethod
    def unbalance_force(amount: Any, speed: Any) -> Any: ...
    @staticmethod
    def vector(amount: Any, angle: Any, spot: str = "heavy") -> Any: ...

class cylinders:
    class BoreForm:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        minimum: Any
        maximum: Any
        mean: Any
        largest_station: Any
        largest_axis: Any
        ovality: Any
        ovality_station: Any
        taper: Any
        taper_axis: Any
        end_difference: Any
        barrel: Any
        shape: Any
        wear: Any
        ridge: Any
        size_verdict: Any
        ovality_verdict: Any
        taper_verdict: Any
        ridge_verdict: Any
        verdict: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class CircleFit:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        criterion: Any
        centre_x: Any
        centre_y: Any
        radius: Any
        roundness: Any
        peak: Any
        valley: Any
        outer_radius: Any
        inner_radius: Any
        outer_contacts: Any
        inner_contacts: Any
        gap: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class DeckFinding:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        clearance: Any
        uncertainty: Any
        lower: Any
        upper: Any
        margin: Any
        cut: Any
        share_block: Any
        share_stroke: Any
        share_rod: Any
        share_piston: Any
        verdict: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class DeckFlatness:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        flatness: Any
        flatness_least_squares: Any
        uncertainty: Any
        slope_x: Any
        slope_y: Any
        high_points: Any
        low_points: Any
        skim_best: Any
        skim_parallel: Any
        local_flatness: Any
        local_points: Any
        flatness_verdict: Any
        local_verdict: Any
        verdict: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class DryLinerFit:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        interference: Any
        bore_for_target: Any
        stock: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class FinishBores:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        finish_bore: Any
        bored_size: Any
        stock: Any
        too_large: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class LinerShims:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        liners: Any
        heights: Any
        shim_total: Any
        neighbour: Any
        worst_deviation: Any
        total_deviation: Any
        stock_left: Any
        to_order: Any
        unreachable: Any
        cut: Any
        optimal: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class LinerStanding:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        mean: Any
        least: Any
        greatest: Any
        variation: Any
        tilt: Any
        high_side: Any
        slope: Any
        warp: Any
        neighbour: Any
        spread: Any
        height_verdicts: Any
        within_verdicts: Any
        neighbour_verdicts: Any
        verdict: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class OversizePlan:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        oversize: Any
        piston: Any
        finish_bore: Any
        bored_size: Any
        governing: Any
        cleanup_diameters: Any
        margin: Any
        stock_to_bore: Any
        oversize_by_cylinder: Any
        sleeve: Any
        oversize_without_sleeved: Any
        sleeve_options: Any
        steps_left: Any
        warnings: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class PistonSelection:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        piston: Any
        clearances: Any
        outside: Any
        worst_deviation: Any
        total_deviation: Any
        spare: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Roundness:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        roundness_minimum_zone: Any
        roundness_least_squares: Any
        uncertainty: Any
        eccentricity: Any
        amplitudes: Any
        directions: Any
        dominant_order: Any
        residual: Any
        centre_x: Any
        centre_y: Any
        verdict: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class ShimStack:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        sizes: Any
        total: Any
        height: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class SleeveOption:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        oversize: Any
        finish_bore: Any
        sleeve: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def circle_fit(x: Any, y: Any, *, criterion: str = "least squares") -> Any: ...
    @staticmethod
    def cross_hatch(bore: Any, spindle_speed: Any, stroke_length: Any, stroke_rate: Any) -> Any: ...
    @staticmethod
    def deck_clearance(
        block_height: Any,
        stroke: Any,
        rod_length: Any,
        compression_height: Any,
        pin_offset: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def deck_flatness(
        x: Any,
        y: Any,
        z: Any,
        *,
        limit: Any = None,
        local_span: Any = None,
        local_limit: Any = None,
        uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def dry_liner_fit(
        liner_outside: Any, bore: Any, *, target: Any, lower: Any = None, upper: Any = None
    ) -> Any: ...
    @staticmethod
    def finish_bores(
        pistons: Any, clearance: Any, *, bores: Any = None, hone_allowance: Any = 0.0
    ) -> Any: ...
    @staticmethod
    def form(
        readings: Any,
        *,
        lower: Any = None,
        upper: Any = None,
        original: Any = None,
        unworn_top: Any = None,
        ovality_limit: Any = None,
        taper_limit: Any = None,
        ridge_limit: Any = None,
        uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def judge_deck(
        block_height: Any,
        stroke: Any,
        rod_length: Any,
        compression_height: Any,
        *,
        pin_offset: Any = 0.0,
        uncertainty_block: Any = 0.0,
        uncertainty_stroke: Any = 0.0,
        uncertainty_rod: Any = 0.0,
        uncertainty_piston: Any = 0.0,
        lower: Any = None,
        upper: Any = None,
        target: Any = None,
    ) -> Any: ...
    @staticmethod
    def liner_shims(
        heights: Any,
        sizes: Any,
        stock: Any = None,
        *,
        lower: Any,
        upper: Any,
        target: Any = None,
        neighbour_limit: Any = None,
        most: Any = 2,
    ) -> Any: ...
    @staticmethod
    def liner_standing(
        readings: Any,
        *,
        angle: Any,
        radius: Any,
        lower: Any = None,
        upper: Any = None,
        within_limit: Any = None,
        neighbour_limit: Any = None,
        uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def oversize_plan(
        readings: Any,
        *,
        piston_standard: Any,
        oversizes: Any,
        clearance: Any,
        hone_allowance: Any = 0.0,
        clean_up: Any = 0.0,
        damage_depth: Any = None,
        wear_side: str = "even",
        current_oversize: Any = 0.0,
        largest_bore: Any = None,
        uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def roundness(
        angle: Any,
        deviation: Any,
        radius: Any,
        *,
        harmonics: Any = 6,
        limit: Any = None,
        uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def select_pistons(
        bores: Any, pistons: Any, *, lower: Any, upper: Any, target: Any = None
    ) -> Any: ...
    @staticmethod
    def stroke_rate_for(angle: Any, bore: Any, spindle_speed: Any, stroke_length: Any) -> Any: ...

class fasteners:
    class BoltReuse:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        permanent_stretch: Any
        limit: Any
        stretch_verdict: Any
        shank_least: Any
        shank_verdict: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class HotPreload:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        change: Any
        preload: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Joint:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        load_share: Any
        bolt_load: Any
        clamp_load: Any
        separation_load: Any
        separation_factor: Any
        load_factor: Any
        yield_factor: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class PreloadRange:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        preload: Any
        least: Any
        greatest: Any
        proof_load: Any
        share: Any
        torque_limit: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class PropertyClass:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        name: Any
        diameter: Any
        tensile_strength: Any
        yield_strength: Any
        proof_strength: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Thread:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        diameter: Any
        pitch: Any
        series: Any
        pitch_diameter: Any
        minor_diameter: Any
        stress_area: Any
        lead_angle: Any
        threads_per_inch: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def angle_for_preload(
        preload: Any, pitch: Any, bolt_stiffness: Any, member_stiffness: Any, *, snug: Any = 0.0
    ) -> Any: ...
    @staticmethod
    def bolt_stiffness(lengths: Any, areas: Any, *, modulus: Any = 207000.0) -> Any: ...
    @staticmethod
    def joint(
        preload: Any,
        load: Any,
        bolt_stiffness: Any,
        member_stiffness: Any,
        *,
        stress_area: Any = None,
        proof_strength: Any = None,
    ) -> Any: ...
    @staticmethod
    def member_stiffness(
        thicknesses: Any, moduli: Any, diameter: Any, face_diameter: Any, *, half_angle: Any = 30.0
    ) -> Any: ...
    @staticmethod
    def nut_factor(
        diameter: Any,
        *,
        pitch: Any,
        thread_friction: Any,
        bearing_friction: Any,
        bearing_diameter: Any = None,
    ) -> Any: ...
    @staticmethod
    def preload_from_angle(
        angle: Any, pitch: Any, bolt_stiffness: Any, member_stiffness: Any, *, snug: Any = 0.0
    ) -> Any: ...
    @staticmethod
    def preload_from_stretch(stretch: Any, stiffness: Any) -> Any: ...
    @staticmethod
    def preload_from_torque(
        torque: Any,
        diameter: Any,
        *,
        nut_factor: Any = None,
        pitch: Any = None,
        thread_friction: Any = None,
        bearing_friction: Any = None,
        bearing_diameter: Any = None,
    ) -> Any: ...
    @staticmethod
    def preload_range(
        torque: Any,
        diameter: Any,
        *,
        nut_factor: Any = None,
        pitch: Any = None,
        thread_friction: Any = None,
        bearing_friction: Any = None,
        bearing_diameter: Any = None,
        scatter: Any = 0.25,
        proof_load: Any = None,
    ) -> Any: ...
    @staticmethod
    def proof_load(
        diameter: Any, pitch: Any, property_class: str, *, series: str = "metric"
    ) -> Any: ...
    @staticmethod
    def property_class(name: str, diameter: Any) -> Any: ...
    @staticmethod
    def reuse(
        free_length: Any,
        new_length: Any,
        *,
        limit: Any,
        uncertainty: Any = 0.0,
        shank_diameter: Any = None,
        shank_limit: Any = None,
        shank_uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def stretch_from_preload(preload: Any, stiffness: Any) -> Any: ...
    @staticmethod
    def thermal_preload(
        preload: Any,
        grip: Any,
        rise_bolt: Any,
        rise_members: Any,
        bolt_expansion: Any,
        member_expansion: Any,
        bolt_stiffness: Any,
        member_stiffness: Any,
    ) -> Any: ...
    @staticmethod
    def thread(diameter: Any, pitch: Any, *, series: str = "metric") -> Any: ...
    @staticmethod
    def torque_for_preload(
        preload: Any,
        diameter: Any,
        *,
        nut_factor: Any = None,
        pitch: Any = None,
        thread_friction: Any = None,
        bearing_friction: Any = None,
        bearing_diameter: Any = None,
    ) -> Any: ...

class fits:
    class Assembly:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        status: Any
        outer_temperature: Any
        inner_temperature: Any
        gap: Any
        reason: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Fit:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        size: Any
        hole: Any
        shaft: Any
        kind: Any
        minimum_clearance: Any
        maximum_clearance: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class JointStress:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        radius: Any
        radial: Any
        hoop: Any
        equivalent: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Limits:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        size: Any
        tolerance_class: Any
        kind: Any
        lower: Any
        upper: Any
        lower_deviation: Any
        upper_deviation: Any
        tolerance: Any
        fundamental_deviation: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Loosening:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        status: Any
        temperature: Any
        reason: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Material:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        name: Any
        modulus: Any
        poisson: Any
        expansion: Any
        yield_strength: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class PressFit:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        status: Any
        reason: Any
        interference: Any
        pressure: Any
        hoop_outer: Any
        hoop_inner: Any
        hoop_inner_bore: Any
        equivalent_outer: Any
        equivalent_inner: Any
        bore_closure: Any
        outside_growth: Any
        press_force: Any
        holding_torque: Any
        safety_outer: Any
        safety_inner: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def assembly_temperature(
        diameter: Any,
        interference: Any,
        clearance: Any,
        *,
        outer_expansion: Any,
        inner_expansion: Any,
        room: Any = 20.0,
        inner_temperature: Any = None,
        outer_limit: Any = None,
    ) -> Any: ...
    @staticmethod
    def classes(
        size: Any,
        minimum_clearance: Any,
        maximum_clearance: Any,
        *,
        hole: str = "H7",
        grades: Any = (4, 5, 6, 7, 8, 9, 10, 11),
    ) -> Any: ...
    @staticmethod
    def fit(designation: Any) -> Any: ...
    @staticmethod
    def grade(size: Any, grade: Any) -> Any: ...
    @staticmethod
    def joint_stress(
        radius: Any, *, pressure: Any, diameter: Any, outer_diameter: Any, inner_bore: Any = 0.0
    ) -> Any: ...
    @staticmethod
    def limits(designation: Any, size: Any = None) -> Any: ...
    @staticmethod
    def loosening_temperature(
        diameter: Any,
        interference: Any,
        *,
        inner_expansion: Any,
        outer_expansion: Any,
        inner_share: Any = 1.0,
    ) -> Any: ...
    @staticmethod
    def materials() -> Any: ...
    @staticmethod
    def press_fit(
        diameter: Any,
        interference: Any,
        length: Any,
        *,
        outer_diameter: Any,
        inner_bore: Any = 0.0,
        inner: Any,
        outer: Any,
        friction: Any = 0.12,
        roughness_inner: Any = 0.0,
        roughness_outer: Any = 0.0,
        inner_temperature: Any = 20.0,
        outer_temperature: Any = 20.0,
    ) -> Any: ...

class job:
    class Assembly:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        job: Any
        number: Any
        planes: Any
        tolerance_planes: Any
        stages: Any
        parts: Any
        plan: Any
        sites: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class CheckInfo:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        check: Any
        rows: Any
        limits: Any
        card: Any
        value: Any
        next: Any
        rule: Any
        source: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class CustomFinding:
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def __getattr__(self, name: str) -> Any: ...

    class Sizes:
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def __getattr__(self, name: str) -> Any: ...

    class SpunStage:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        stage: Any
        part: Any
        found: Any
        residual: Any
        uncertainty: Any
        scatter: Any
        spins: Any
        tolerance: Any
        verdict: Any
        probability: Any
        overtaken: Any
        reason: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def assemblies(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def checks() -> Any: ...
    @staticmethod
    def custom_finding(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def inspect(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def join(*args: Any, **kwargs: Any) -> Any: ...

class journals:
    class ClearanceFinding:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        clearance: Any
        uncertainty: Any
        lower: Any
        upper: Any
        margin: Any
        share_housing: Any
        share_walls: Any
        share_journal: Any
        verdict: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class ClearanceRule:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        lower: Any
        upper: Any
        provenance: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class FilletClearance:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        clearance: Any
        side_corner: Any
        running_corner: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class JournalForm:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        minimum: Any
        maximum: Any
        mean: Any
        ovality: Any
        ovality_station: Any
        taper: Any
        taper_axis: Any
        end_difference: Any
        barrel: Any
        shape: Any
        wear: Any
        size_verdict: Any
        ovality_verdict: Any
        taper_verdict: Any
        verdict: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class OffsetGrind:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        offset: Any
        stroke_change: Any
        thin_side: Any
        thick_side: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class RegrindPlan:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        undersize: Any
        target: Any
        finish_lower: Any
        finish_upper: Any
        governing: Any
        cleanup_diameters: Any
        margin: Any
        stock_least: Any
        stock_most: Any
        undersize_by_journal: Any
        undersize_without_governing: Any
        tight_undersize: Any
        tight_diameter: Any
        steps_left: Any
        remaining: Any
        case_left: Any
        warnings: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Runout:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        eccentricity: Any
        runout: Any
        uncertainty: Any
        ovality: Any
        ovality_direction: Any
        neighbour: Any
        neighbour_uncertainty: Any
        worst: Any
        high_side: Any
        residual: Any
        verdicts: Any
        neighbour_verdicts: Any
        verdict: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class ShellCrush:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        crush_per_shell: Any
        strain: Any
        hoop_stress: Any
        seating_pressure: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class ShellSelection:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        grades: Any
        first: Any
        second: Any
        clearances: Any
        outside: Any
        worst_deviation: Any
        total_deviation: Any
        stock_left: Any
        to_order: Any
        optimal: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class ShellSpread:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        spread: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class SurfaceFinish:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        count: Any
        over: Any
        mean: Any
        greatest: Any
        next_count: Any
        verdict: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Throws:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        stroke: Any
        stroke_error: Any
        stroke_uncertainty: Any
        stroke_spread: Any
        index: Any
        index_error: Any
        index_uncertainty: Any
        residual: Any
        stroke_verdicts: Any
        index_verdicts: Any
        verdict: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class ThrustPlan:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        front: Any
        rear: Any
        end_float: Any
        shift: Any
        total_for_target: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def bearing_clearance(
        housing_bore: Any, wall: Any, journal: Any, second_wall: Any = None
    ) -> Any: ...
    @staticmethod
    def clearance_by_rule(
        journal_diameter: Any, least_share: Any = 0.00075, greatest_share: Any = 0.001
    ) -> Any: ...
    @staticmethod
    def fillet_clearance(
        fillet_radius: Any,
        side_gap: Any,
        chamfer_axial: Any,
        chamfer_radial: Any,
        bearing_clearance: Any,
    ) -> Any: ...
    @staticmethod
    def form(
        readings: Any,
        *,
        lower: Any = None,
        upper: Any = None,
        ovality_limit: Any = None,
        taper_limit: Any = None,
        current_size: Any = None,
        uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def index_error(height_difference: Any, throw: Any) -> Any: ...
    @staticmethod
    def judge_clearance(
        housing_bore: Any,
        wall: Any,
        journal: Any,
        second_wall: Any = None,
        *,
        uncertainty_housing: Any = 0.0,
        uncertainty_wall: Any = 0.0,
        uncertainty_second_wall: Any = None,
        uncertainty_journal: Any = 0.0,
        lower: Any = None,
        upper: Any = None,
    ) -> Any: ...
    @staticmethod
    def offset_grind(
        journal: Any, finish_journal: Any, clean_up: Any = 0.0, offset: Any = None
    ) -> Any: ...
    @staticmethod
    def regrind_plan(
        readings: Any,
        *,
        standard_lower: Any,
        standard_upper: Any,
        undersizes: Any,
        grinding_allowance: Any = 0.0,
        aim: Any = 0.5,
        damage_depth: Any = None,
        wear_side: str = "even",
        current_undersize: Any = 0.0,
        case_depth: Any = None,
        uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def runout(
        angle: Any,
        readings: Any,
        *,
        position: Any = None,
        limit: Any = None,
        neighbour_limit: Any = None,
        uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def select_shells(
        housing_bores: Any,
        journals: Any,
        grades: Any,
        stock: Any,
        *,
        lower: Any,
        upper: Any,
        target: Any = None,
        grade_step: Any = 1,
        second_stock: Any = None,
    ) -> Any: ...
    @staticmethod
    def shell_crush(
        parting_gap: Any, housing_bore: Any, wall: Any, modulus: Any = 207000.0
    ) -> Any: ...
    @staticmethod
    def shell_spread(free_width: Any, housing_bore: Any, least: Any = 0.0) -> Any: ...
    @staticmethod
    def surface_finish(readings: Any, limit: Any, *, rule: str = "16 percent") -> Any: ...
    @staticmethod
    def throws(
        angle: Any,
        heights: Any,
        *,
        nominal_stroke: Any = None,
        nominal_index: Any = None,
        stroke_limit: Any = None,
        index_limit: Any = None,
        uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def thrust_plan(
        end_float: Any,
        fitted: Any,
        sizes: Any,
        *,
        lower: Any,
        upper: Any,
        target: Any = None,
        stock: Any = None,
    ) -> Any: ...
    @staticmethod
    def undersizes(system: str = "metric") -> Any: ...

class matching:
    class Assignment:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        columns: Any
        costs: Any
        total: Any
        largest: Any
        smallest: Any
        spread: Any
        unused: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Choice:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        parts: Any
        values: Any
        spread: Any
        target: Any
        worst_deviation: Any
        unused: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Lightened:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        mass: Any
        inertia: Any
        removed_mass: Any
        removed_inertia: Any
        inertia_share: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class MassPlan:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        target: Any
        removal: Any
        after: Any
        total_removal: Any
        spread_before: Any
        spread_after: Any
        over_limit: Any
        too_light: Any
        least_target: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Pairing:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        partner: Any
        sums: Any
        mean: Any
        spread: Any
        target: Any
        worst_deviation: Any
        unused: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Removal:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        mass: Any
        inertia: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class RodEnds:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        big_end: Any
        small_end: Any
        total: Any
        centre_of_mass: Any
        residual: Any
        residual_allowed: Any
        uncertainty: Any
        verdict: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class RodPlan:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        target_big: Any
        target_small: Any
        remove_big: Any
        remove_small: Any
        total_removed: Any
        at_pad_big: Any
        at_pad_small: Any
        over_limit_big: Any
        over_limit_small: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class RodRemoval:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        remove_big: Any
        remove_small: Any
        removed: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def assign(cost: Any, *, allowed: Any = None, objective: str = "sum") -> Any: ...
    @staticmethod
    def choose_parts(values: Any, count: Any, *, target: Any = None) -> Any: ...
    @staticmethod
    def drilled_holes(
        diameter: Any,
        depth: Any,
        pitch_radius: Any,
        *,
        count: Any = 1,
        density: Any = 7.85,
        point_angle: Any = 180.0,
    ) -> Any: ...
    @staticmethod
    def equivalent_mass(inertia: Any, ratio: Any, rolling_radius: Any) -> Any: ...
    @staticmethod
    def lightened(mass: Any, inertia: Any, removals: Any) -> Any: ...
    @staticmethod
    def match_masses(
        masses: Any,
        *,
        target: Any = None,
        tolerance: Any = 0.0,
        removable: Any = None,
        least_removal: bool = False,
    ) -> Any: ...
    @staticmethod
    def match_rods(
        big_ends: Any,
        small_ends: Any,
        length: Any,
        pad_big: Any,
        pad_small: Any,
        *,
        limit_big: Any = None,
        limit_small: Any = None,
        tolerance_big: float = 0.0,
        tolerance_small: float = 0.0,
    ) -> Any: ...
    @staticmethod
    def pair_parts(first: Any, second: Any, *, target: Any = None) -> Any: ...
    @staticmethod
    def rod_ends(
        big_end: Any,
        small_end: Any,
        *,
        total: Any = None,
        length: Any = None,
        uncertainty: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def rod_removal(
        excess_big: Any,
        excess_small: Any,
        length: Any,
        pad_big: Any,
        pad_small: Any,
        *,
        limit_big: Any = None,
        limit_small: Any = None,
    ) -> Any: ...
    @staticmethod
    def spin_stress(
        outer: Any, inner: Any, speed: Any, *, density: Any = 7.85, poisson: Any = 0.3
    ) -> Any: ...
    @staticmethod
    def turned_band(outer: Any, inner: Any, width: Any, *, density: Any = 7.85) -> Any: ...

class measure:
    class Budget:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        rows: Any
        value: Any
        standard_uncertainty: Any
        degrees_of_freedom: Any
        level: Any
        coverage_factor: Any
        expanded: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class BudgetRow:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        source: Any
        kind: Any
        contribution: Any
        share: Any
        degrees_of_freedom: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Gauge:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        name: Any
        resolution: Any
        maximum_permissible_error: Any
        calibration_uncertainty: Any
        coverage_factor: Any
        calibration_freedom: Any
        correction: Any
        repeatability: Any
        repeatability_freedom: Any
        expansion: Any
        same_place: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class GaugeStudy:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        status: Any
        parts: Any
        operators: Any
        repeats: Any
        repeatability: Any
        operator: Any
        interaction: Any
        reproducibility: Any
        gauge: Any
        part: Any
        total: Any
        contribution: Any
        study: Any
        tolerance_share: Any
        categories: Any
        pooled: Any
        table: Any
        reason: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Outliers:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        status: Any
        flagged: Any
        statistics: Any
        critical: Any
        reason: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Quantity:
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def __getattr__(self, name: str) -> Any: ...
        def __add__(self, other: Any) -> Any: ...
        def __radd__(self, other: Any) -> Any: ...
        def __sub__(self, other: Any) -> Any: ...
        def __rsub__(self, other: Any) -> Any: ...
        def __mul__(self, other: Any) -> Any: ...
        def __rmul__(self, other: Any) -> Any: ...
        def __truediv__(self, other: Any) -> Any: ...
        def __rtruediv__(self, other: Any) -> Any: ...
        def __pow__(self, other: Any) -> Any: ...
        def __neg__(self) -> Any: ...
        def __abs__(self) -> Any: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        @staticmethod
        def from_dict(*args: Any, **kwargs: Any) -> Any: ...

    class Reading:
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def __getattr__(self, name: str) -> Any: ...
        def __add__(self, other: Any) -> Any: ...
        def __radd__(self, other: Any) -> Any: ...
        def __sub__(self, other: Any) -> Any: ...
        def __rsub__(self, other: Any) -> Any: ...
        def __mul__(self, other: Any) -> Any: ...
        def __rmul__(self, other: Any) -> Any: ...
        def __truediv__(self, other: Any) -> Any: ...
        def __rtruediv__(self, other: Any) -> Any: ...
        def __pow__(self, other: Any) -> Any: ...
        def __neg__(self) -> Any: ...
        def __abs__(self) -> Any: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...

    class Risk:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        consumer: Any
        producer: Any
        accepted: Any
        conforming: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Settle:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        status: Any
        readings: Any
        needed_uncertainty: Any
        largest_source: Any
        reason: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Simulation:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        mean: Any
        standard_deviation: Any
        lower: Any
        upper: Any
        draws: Any
        agrees: Any
        seed: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class StudyRow:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        name: Any
        degrees_of_freedom: Any
        sum_of_squares: Any
        mean_square: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Verdict:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        verdict: Any
        side: Any
        value: Any
        expanded: Any
        lower: Any
        upper: Any
        accept_lower: Any
        accept_upper: Any
        margin: Any
        guard: Any
        probability: Any
        capability: Any
        rule: Any
        level: Any
        reason: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    _numerics: Any
    @staticmethod
    def check(
        quantity: Any,
        lower: Any = None,
        upper: Any = None,
        *,
        rule: str = "guarded",
        level: Any = 0.95,
        unit: Any = "mm",
    ) -> Any: ...
    @staticmethod
    def gauge(
        name: Any,
        *,
        resolution: Any = 0.0,
        maximum_permissible_error: Any = None,
        calibration_uncertainty: Any = None,
        coverage_factor: Any = 2.0,
        calibration_freedom: Any = inf,
        correction: Any = None,
        repeatability: Any = None,
        repeatability_freedom: Any = inf,
        expansion: Any = 1.15e-05,
        same_place: Any = False,
    ) -> Any: ...
    @staticmethod
    def gauge_study(
        readings: Any,
        *,
        tolerance: Any = None,
        significance: Any = 0.25,
        interaction: str = "auto",
    ) -> Any: ...
    inf: Any
    @staticmethod
    def outliers(
        readings: Any, *, most: Any = 1, significance: Any = 0.05, side: str = "both"
    ) -> Any: ...
    @staticmethod
    def propagate(function: Any, quantities: Any, *, order: Any = 1) -> Any: ...
    @staticmethod
    def reading(
        readings: Any,
        gauge: Any = None,
        *,
        temperature: Any = 20.0,
        expansion: Any = None,
        gauge_temperature: Any = None,
        master: Any = None,
        master_temperature: Any = None,
        master_expansion: Any = None,
        zero: Any = 0.0,
        setting: Any = None,
    ) -> Any: ...
    @staticmethod
    def risk(
        mean: Any,
        deviation: Any,
        standard_uncertainty: Any,
        lower: Any = None,
        upper: Any = None,
        *,
        guard: Any = 0.0,
    ) -> Any: ...
    @staticmethod
    def settle(
        reading: Any, lower: Any = None, upper: Any = None, *, level: Any = 0.95, most: Any = 50
    ) -> Any: ...
    @staticmethod
    def simulate(
        function: Any, quantities: Any, *, draws: Any = 200000, seed: Any = 0, level: Any = 0.95
    ) -> Any: ...
    @staticmethod
    def size_at(
        length: Any, expansion: Any, *, from_temperature: Any, to_temperature: Any = 20.0
    ) -> Any: ...
    @staticmethod
    def stack(quantities: Any) -> Any: ...

class reciprocating:
    class BalanceFactor:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        factor: Any
        forward: Any
        backward: Any
        residual_along: Any
        residual_across: Any
        maximum: Any
        minimum: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Bobweight:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        mass: Any
        rotating_part: Any
        reciprocating_part: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class BobweightNeed:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        needed: Any
        force_sum: Any
        couple_sum: Any
        reason: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class BobweightTolerance:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        worst_case: Any
        statistical: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class EngineLayout:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        throw_angle: Any
        bank_angle: Any
        position: Any
        crank_radius: Any
        rod_length: Any
        reciprocating: Any
        rotating: Any
        offset: Any
        counterweight: Any
        counterweight_position: Any
        name: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Firing:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        intervals: Any
        even: Any
        spread: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class RodSplit:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        rotating: Any
        reciprocating: Any
        total: Any
        closure: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Shaking:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        order: Any
        force_forward: Any
        force_backward: Any
        couple_forward: Any
        couple_backward: Any
        force_maximum: Any
        force_minimum: Any
        couple_maximum: Any
        couple_minimum: Any
        reference: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class ShakingAt:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        force: Any
        couple: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def balance_factor(
        layout: reciprocating.EngineLayout,
        speed: float,
        along: float = 1.0,
        across: float = 1.0,
        direction: float = 0.0,
    ) -> reciprocating.BalanceFactor: ...
    @staticmethod
    def bobweight(
        rotating: Numbers,
        reciprocating: Numbers,
        factor: Numbers = 0.5,
        rods_per_pin: Numbers = 1,
        oil: Numbers = 0.0,
    ) -> Any: ...
    @staticmethod
    def bobweight_needed(
        throw_angles: Numbers, positions: Numbers
    ) -> reciprocating.BobweightNeed: ...
    @staticmethod
    def bobweight_tolerance(
        crank_radius: float,
        throw_angles: Numbers,
        positions: Numbers,
        tolerance: Numbers | None,
        tolerance_planes: Numbers,
        share: float = 0.1,
    ) -> reciprocating.BobweightTolerance: ...
    @staticmethod
    def common_layout(
        name: str,
        spacing: float,
        crank_radius: float,
        rod_length: float,
        reciprocating: float,
        rotating: float = 0.0,
        bank: float | None = None,
    ) -> Any: ...
    @staticmethod
    def firing_intervals(
        throw_angles: Numbers, bank_angles: Numbers, firing_order: Sequence[int], strokes: int = 4
    ) -> reciprocating.Firing: ...
    @staticmethod
    def piston_harmonics(
        crank_radius: float, rod_length: float, offset: float = 0.0, orders: int = 6
    ) -> crank_train.Harmonics: ...
    @staticmethod
    def rod_split(
        big_end: Numbers, small_end: Numbers, total: Numbers | None = None, allowed: Numbers = 1.0
    ) -> Any: ...
    @staticmethod
    def rod_split_at_centre(mass: Numbers, length: Numbers, centre_to_big: Numbers) -> Any: ...
    @staticmethod
    def shaking(
        layout: reciprocating.EngineLayout,
        speed: float,
        orders: int = 6,
        reference: float | None = None,
    ) -> reciprocating.Shaking: ...
    @staticmethod
    def shaking_at(
        layout: reciprocating.EngineLayout,
        speed: float,
        crank_angle: Numbers,
        reference: float | None = None,
    ) -> reciprocating.ShakingAt: ...

class rings:
    class GapPlan:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        rings: Any
        gaps: Any
        filing: Any
        finished: Any
        total_filing: Any
        too_large: Any
        spare: Any
        target: Any
        upper: Any
        status: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class GapRule:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        duty: Any
        position: Any
        per_bore: Any
        least: Any
        provenance: Any
        source: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class LeakArea:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        areas: Any
        series_area: Any
        equivalent_diameter: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class RuleGap:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        gap: Any
        duty: Any
        position: Any
        per_bore: Any
        least: Any
        decided_by: Any
        provenance: Any
        source: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class SecondRing:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        difference: Any
        ratio: Any
        least_difference: Any
        verdict: Any
        file_second: Any
        reason: Any
        next: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def back_clearance(bore: Any, groove_root_diameter: Any, radial_thickness: Any) -> Any: ...
    @staticmethod
    def gap_at_bore(gap: Any, bore: Any, bore_new: Any) -> Any: ...
    @staticmethod
    def gap_by_rule(bore: Any, position: str, duty: str, *, rules: Any = None) -> Any: ...
    @staticmethod
    def gap_plan(
        gaps: Any, *, target: Any, upper: Any = None, bores: Any = None, reference_bore: Any = None
    ) -> Any: ...
    @staticmethod
    def gap_rules() -> Any: ...
    @staticmethod
    def hot_gap(
        bore: Any,
        cold_gap: Any,
        ring_temperature: Any,
        bore_temperature: Any,
        *,
        ring_expansion: Any,
        bore_expansion: Any,
    ) -> Any: ...
    @staticmethod
    def leak_area(gaps: Any, bore: Any, land_diameter: Any) -> Any: ...
    @staticmethod
    def second_ring(
        top_gap: Any, second_gap: Any, *, least_difference: Any = 0.05, uncertainty: Any = 0.0
    ) -> Any: ...
    @staticmethod
    def side_clearance(groove_width: Any, ring_width: Any) -> Any: ...
    @staticmethod
    def thermal_gap(
        bore: Any,
        ring_temperature: Any,
        bore_temperature: Any,
        *,
        ring_expansion: Any,
        bore_expansion: Any,
    ) -> Any: ...

class stats:
    DEFAULT: tuple[str, ...]

    class Capability:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        status: Any
        count: Any
        mean: Any
        sigma_within: Any
        sigma_total: Any
        cp: Any
        cpk: Any
        pp: Any
        ppk: Any
        cpm: Any
        cp_interval: Any
        cpk_interval: Any
        pp_interval: Any
        ppk_interval: Any
        expected_outside: Any
        observed_outside: Any
        reason: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Chart:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        kind: Any
        centre: Any
        lower: Any
        upper: Any
        sigma: Any
        spread_centre: Any
        spread_lower: Any
        spread_upper: Any
        points: Any
        spread_points: Any
        signals: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Constants:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        count: Any
        d2: Any
        d3: Any
        c4: Any
        A2: Any
        A3: Any
        B3: Any
        B4: Any
        D3: Any
        D4: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class DriftChart:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        points: Any
        centre: Any
        lower: Any
        upper: Any
        flagged: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Signal:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        rule: Any
        index: Any
        side: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Summary:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        count: Any
        mean: Any
        standard_deviation: Any
        minimum: Any
        maximum: Any
        range: Any
        median: Any
        lag_one: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Trend:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        status: Any
        count: Any
        slope: Any
        intercept: Any
        slope_deviation: Any
        intercept_deviation: Any
        residual_deviation: Any
        correlation: Any
        slope_interval: Any
        significance: Any
        median_slope: Any
        monotonic_significance: Any
        due: Any
        reason: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def capability(
        values: Any, lower: Any = None, upper: Any = None, *, target: Any = None, level: Any = 0.95
    ) -> Any: ...
    @staticmethod
    def chart(
        values: Any,
        kind: Any = None,
        *,
        baseline: Any = None,
        rules: Any = (
            "one beyond three sigma",
            "two of three beyond two sigma",
            "four of five beyond one sigma",
            "eight on one side",
        ),
    ) -> Any: ...
    @staticmethod
    def chart_constants(count: Any) -> Any: ...
    @staticmethod
    def drift_chart(
        values: Any,
        centre: Any,
        sigma: Any,
        *,
        weight: Any = 0.2,
        width: Any = 3.0,
        steady: Any = False,
    ) -> Any: ...
    @staticmethod
    def signals(
        points: Any,
        centre: Any,
        sigma: Any,
        *,
        rules: Any = (
            "one beyond three sigma",
            "two of three beyond two sigma",
            "four of five beyond one sigma",
            "eight on one side",
        ),
    ) -> Any: ...
    @staticmethod
    def summary(values: Any) -> Any: ...
    @staticmethod
    def trend(
        times: Any, values: Any, *, level: Any = 0.95, lower: Any = None, upper: Any = None
    ) -> Any: ...

class table:
    class CardKey:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        key: Any
        holds: Any
        unit: Any
        meaning: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Column:
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def __getattr__(self, name: str) -> Any: ...
        def __len__(self) -> int: ...

    class ColumnSpec:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        name: Any
        kind: Any
        required: Any
        meaning: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Found:
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def __getattr__(self, name: str) -> Any: ...

    class Gauges:
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def __getattr__(self, name: str) -> Any: ...

    class Limit:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        engine: Any
        stage: Any
        feature: Any
        number: Any
        part: Any
        station: Any
        axis: Any
        quantity: Any
        lower: Any
        upper: Any
        target: Any
        unit: Any
        given_unit: Any
        kind: Any
        source: Any
        provenance: Any
        place: Any
        tolerance_class: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Limits:
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def __getattr__(self, name: str) -> Any: ...

    class NotChecked:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        job: Any
        check: Any
        missing: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Table:
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def __getattr__(self, name: str) -> Any: ...
        def __len__(self) -> int: ...

    class VocabularyWord:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        kind: Any
        word: Any
        dimension: Any
        unit: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    @staticmethod
    def arranged(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def card_keys(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def cells(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def check_readings(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def column_from_arrow(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def column_from_codes(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def column_from_stream(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def column_from_values(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def columns(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def empty_findings(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def gauges_from_json(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def in_canonical_units(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def limits_from_json(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def number_repeats(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def read_stream(*args: Any, **kwargs: Any) -> Any: ...
    @staticmethod
    def vocabulary(*args: Any, **kwargs: Any) -> Any: ...

class units:
    class Amount:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        value: Any
        unit: Any
        dimension: Any
        number: Any
        given_unit: Any
        resolution: Any
        text: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Header:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        name: Any
        unit: Any
        dimension: Any
        note: Any
        text: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class Unit:
        units: ClassVar[dict[str, str]]
        array_shape: tuple[int, ...]
        symbol: Any
        dimension: Any
        factor: Any
        offset: Any
        exact: Any
        aliases: Any
        source: Any
        def __init__(self, *args: Any, **kwargs: Any) -> None: ...
        def as_dict(self) -> dict[str, Any]: ...
        def __len__(self) -> int: ...
        def __getitem__(self, index: Any) -> Any: ...
        def __iter__(self) -> Iterator[Any]: ...

    class UnitError(ValueError): ...

    @staticmethod
    def canonical(dimension: str | None) -> str: ...
    @staticmethod
    def convert(
        value: Any, from_unit: str, to_unit: str | None = None, dimension: str | None = None
    ) -> Any: ...
    @staticmethod
    def header(text: str, dimension: str | None = None) -> Any: ...
    @staticmethod
    def parse(text: str, dimension: str | None = None, *, decimal: str = "auto") -> Any: ...
    @staticmethod
    def show(
        value: Any, dimension: str | None, *, system: str = "both", digits: Any = None
    ) -> str: ...
    @staticmethod
    def table() -> Any: ...
    @staticmethod
    def unit(symbol: str, dimension: str | None = None) -> Any: ...

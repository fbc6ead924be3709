#include "enginewright/fasteners.hpp"

#include "bind.hpp"
#include "doc/fasteners.hpp"

namespace enginewright::bind {

namespace {

void bind_torque(py::module_& module)
{
    namespace text = doc::fasteners;
    const py::kw_only keyword_only;
    const py::none none;

    define(module, "nut_factor", broadcast(fasteners::nut_factor), text::nut_factor, "diameter"_a,
           keyword_only, "pitch"_a, "thread_friction"_a, "bearing_friction"_a,
           "bearing_diameter"_a = none);
    define(module, "torque_for_preload", broadcast(fasteners::torque_for_preload),
           text::torque_for_preload, "preload"_a, "diameter"_a, keyword_only, "nut_factor"_a = none,
           "pitch"_a = none, "thread_friction"_a = none, "bearing_friction"_a = none,
           "bearing_diameter"_a = none);
    define(module, "preload_from_torque", broadcast(fasteners::preload_from_torque),
           text::preload_from_torque, "torque"_a, "diameter"_a, keyword_only, "nut_factor"_a = none,
           "pitch"_a = none, "thread_friction"_a = none, "bearing_friction"_a = none,
           "bearing_diameter"_a = none);
    define(module, "preload_range", broadcast(fasteners::preload_range), text::preload_range,
           "torque"_a, "diameter"_a, keyword_only, "nut_factor"_a = none, "pitch"_a = none,
           "thread_friction"_a = none, "bearing_friction"_a = none, "bearing_diameter"_a = none,
           "scatter"_a = 0.25, "proof_load"_a = none);
}

void bind_joint(py::module_& module)
{
    namespace text = doc::fasteners;
    const py::kw_only keyword_only;
    const py::none none;

    define(module, "bolt_stiffness", plain(fasteners::bolt_stiffness), text::bolt_stiffness,
           "lengths"_a, "areas"_a, keyword_only, "modulus"_a = 207000.0);
    define(module, "member_stiffness", plain(fasteners::member_stiffness), text::member_stiffness,
           "thicknesses"_a, "moduli"_a, "diameter"_a, "face_diameter"_a, keyword_only,
           "half_angle"_a = 30.0);
    define(module, "joint", broadcast(fasteners::joint), text::joint, "preload"_a, "load"_a,
           "bolt_stiffness"_a, "member_stiffness"_a, keyword_only, "stress_area"_a = none,
           "proof_strength"_a = none);
    define(module, "stretch_from_preload", broadcast(fasteners::stretch_from_preload),
           text::stretch_from_preload, "preload"_a, "stiffness"_a);
    define(module, "preload_from_stretch", broadcast(fasteners::preload_from_stretch),
           text::preload_from_stretch, "stretch"_a, "stiffness"_a);
    define(module, "angle_for_preload", broadcast(fasteners::angle_for_preload),
           text::angle_for_preload, "preload"_a, "pitch"_a, "bolt_stiffness"_a,
           "member_stiffness"_a, keyword_only, "snug"_a = 0.0);
    define(module, "preload_from_angle", broadcast(fasteners::preload_from_angle),
           text::preload_from_angle, "angle"_a, "pitch"_a, "bolt_stiffness"_a, "member_stiffness"_a,
           keyword_only, "snug"_a = 0.0);
    define(module, "thermal_preload", broadcast(fasteners::thermal_preload), text::thermal_preload,
           "preload"_a, "grip"_a, "rise_bolt"_a, "rise_members"_a, "bolt_expansion"_a,
           "member_expansion"_a, "bolt_stiffness"_a, "member_stiffness"_a);
}

}  // namespace

void bind_fasteners(py::module_ module)
{
    namespace text = doc::fasteners;
    const py::kw_only keyword_only;
    const py::none none;

    bind_record<fasteners::Thread>(module, "Thread", text::Thread);
    bind_record<fasteners::PropertyClass>(module, "PropertyClass", text::PropertyClass);
    bind_record<fasteners::PreloadRange>(module, "PreloadRange", text::PreloadRange);
    bind_record<fasteners::Joint>(module, "Joint", text::Joint);
    bind_record<fasteners::HotPreload>(module, "HotPreload", text::HotPreload);
    bind_record<fasteners::BoltReuse>(module, "BoltReuse", text::BoltReuse);

    define(module, "thread", broadcast(fasteners::thread), text::thread, "diameter"_a, "pitch"_a,
           keyword_only, "series"_a = "metric");
    define(module, "property_class", broadcast(fasteners::property_class), text::property_class,
           "name"_a, "diameter"_a);
    define(module, "proof_load", broadcast(fasteners::proof_load), text::proof_load, "diameter"_a,
           "pitch"_a, "property_class"_a, keyword_only, "series"_a = "metric");
    bind_torque(module);
    bind_joint(module);
    define(module, "reuse", plain(fasteners::reuse), text::reuse, "free_length"_a, "new_length"_a,
           keyword_only, "limit"_a, "uncertainty"_a = 0.0, "shank_diameter"_a = none,
           "shank_limit"_a = none, "shank_uncertainty"_a = 0.0);
}

}  // namespace enginewright::bind

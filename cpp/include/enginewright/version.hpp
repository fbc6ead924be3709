#pragma once

/// The version of the library: the one place that states it. CMake, the Python package and
/// `ew.__version__` read it from here.
#define ENGINEWRIGHT_VERSION "0.1.0"

namespace enginewright {

/// Version of the library as text, "0.1.0".
///
/// Semantic versioning; below 1.0 the public names may still change between minor versions.
inline constexpr const char* version = ENGINEWRIGHT_VERSION;

}  // namespace enginewright

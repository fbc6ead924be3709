# shellcheck shell=sh
# The deep run: what takes too long, or needs tools, that the daily run does without.
# Sourced by tests/run.sh, which brings check(), $venv, $python and $word.

venv=${venv:?} python=${python:?}

deep_missing=''
command -v clang++ >/dev/null 2>&1 || deep_missing="$deep_missing clang"
command -v clang-tidy >/dev/null 2>&1 || deep_missing="$deep_missing clang-tidy"
if [ -n "$deep_missing" ]; then
    say "the deep run needs$deep_missing; on Debian: apt-get install -y --no-install-recommends$deep_missing"
    failures="$failures deep-tools" failed=$((failed + 1))
    return 0
fi

# with_preset NAME: the C++ tests built and run as cpp/CMakePresets.json says.
with_preset() {
    (
        PATH=$venv/bin:$PATH
        cd cpp &&
            cmake --preset "$1" -DCMAKE_EXPORT_COMPILE_COMMANDS=ON &&
            cmake --build --preset "$1" &&
            ctest --preset "$1"
    )
}

# A precompiled header hides its own warnings.
without_precompiled_header() {
    "$venv/bin/cmake" -S . -B build/plain -G Ninja -DCMAKE_DISABLE_PRECOMPILE_HEADERS=ON \
        -DPython_EXECUTABLE="$python" "-Dpybind11_DIR=$("$venv/bin/pybind11-config" --cmakedir)" \
        "-DCMAKE_MAKE_PROGRAM=$venv/bin/ninja" &&
        "$venv/bin/cmake" --build build/plain
}

tidy() { find cpp/src -name '*.cpp' -exec clang-tidy -p build/asan --quiet --warnings-as-errors='*' {} +; }

fuzz() {
    "$venv/bin/cmake" -S tests/cpp/fuzz -B build/fuzz -G Ninja -DCMAKE_CXX_COMPILER=clang++ \
        "-DCMAKE_MAKE_PROGRAM=$venv/bin/ninja" &&
        "$venv/bin/cmake" --build build/fuzz || return 1
    for seeds in tests/cpp/fuzz/*/; do
        target=$(basename "$seeds")
        mkdir -p "build/fuzz/found/$target"
        "build/fuzz/fuzz_$target" -max_total_time="${FUZZ_SECONDS:-60}" -print_final_stats=1 \
            "build/fuzz/found/$target" "$seeds" || return 1
    done
}

check asan with_preset asan
check tsan with_preset tsan
check clang-tidy tidy
check warnings without_precompiled_header
check fuzz fuzz
check fuzz-of-files "$python" tests/flow/fuzz_files.py "${FUZZ_SECONDS:-60}"

# shellcheck shell=sh
# The deep run: what takes too long, or needs tools, that the daily run does without.
# Sourced by tests/run.sh, which brings check(), $venv, $python, $tree and $word.

venv=${venv:?} python=${python:?} tree=${tree:?}
jobs=$(getconf _NPROCESSORS_ONLN 2>/dev/null || echo 2)

deep_missing=''
command -v clang++ >/dev/null 2>&1 || deep_missing="$deep_missing clang"
command -v clang-tidy >/dev/null 2>&1 || deep_missing="$deep_missing clang-tidy"
# libFuzzer, and the sanitizers as clang links them, may be a package of their own.
mkdir -p build
echo 'extern "C" int LLVMFuzzerTestOneInput(const unsigned char*, unsigned long) { return 0; }' |
    clang++ -x c++ -fsanitize=fuzzer,address,undefined - -o build/fuzz-tried >/dev/null 2>&1 ||
    deep_missing="$deep_missing libclang-rt-dev"
if [ -n "$deep_missing" ]; then
    say "the deep run needs$deep_missing; on Debian: apt-get install -y --no-install-recommends$deep_missing"
    failures="$failures deep-tools" failed=$((failed + 1))
    return 0
fi

# build_deep NAME OPTIONS...: a tree of its own in build/NAME, with line numbers and little else, so
# that it is made fast and runs fast.
build_deep() {
    folder=build/$1
    shift
    "$venv/bin/cmake" -S . -B "$folder" -G Ninja -DCMAKE_BUILD_TYPE=Debug "-DCMAKE_CXX_FLAGS_DEBUG=-O1 -g1" \
        -DENGINEWRIGHT_TESTS=ON -DCMAKE_EXPORT_COMPILE_COMMANDS=ON "-DPython_EXECUTABLE=$python" \
        "-Dpybind11_DIR=$("$venv/bin/pybind11-config" --cmakedir)" "-DCMAKE_MAKE_PROGRAM=$venv/bin/ninja" "$@" &&
        "$venv/bin/cmake" --build "$folder" --parallel "$jobs"
}

# Core, extension and tests at once. A precompiled header hides its own warnings, so there is none:
# warnings are errors, and a header that leans on another one does not compile.
warnings() {
    build_deep asan -DENGINEWRIGHT_SANITIZE=address,undefined -DCMAKE_DISABLE_PRECOMPILE_HEADERS=ON
}

asan() {
    UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1 \
        "$venv/bin/ctest" --test-dir build/asan --output-on-failure --no-tests=error --parallel "$jobs"
}

# environment NAME MODULE_FOLDER: an environment in build/NAME whose enginewright is that of this
# checkout with the extension of a build; $site is its folder of packages.
environment() {
    rm -rf "build/$1/python" && "$python" -m venv --without-pip "build/$1/python" || return 1
    site=$(echo "build/$1/python/lib/"python3.*/site-packages)
    cp -R python/enginewright "$site/" && cp "$2"/_core*.so "$site/enginewright/"
}

# The seam between the languages under hostile arguments, and all that hands memory across it.
# Python's own allocator is left out, so that a byte too many in its objects is seen as well. Leaks
# are not looked for: the interpreter keeps what it likes until the end.
asan_python() {
    environment asan build/asan/cpp/bindings || return 1
    # All else is found in the main environment; the editable install there stays out, because no
    # .pth within a .pth is read.
    echo "$venv/lib/"python3.*/site-packages >"$site/main.pth"
    # The sanitizers come before the interpreter, and their library of exceptions with them.
    preload=
    for library in libasan.so libubsan.so libstdc++.so.6; do
        preload="$preload $("${CXX:-g++}" -print-file-name=$library)"
    done
    LD_PRELOAD=${preload# } PYTHONMALLOC=malloc ASAN_OPTIONS=detect_leaks=0 \
        UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1 \
        build/asan/python/bin/python -m pytest -q --timeout 1200 tests/python/test_storm.py \
        tests/python/test_table.py tests/python/test_arrow.py tests/python/test_records.py \
        tests/python/test_measure.py tests/python/test_measure_formulas.py tests/python/test_limits.py \
        tests/python/test_references.py tests/python/test_balance_plan.py tests/python/test_job_fitting.py
}

# Only what has threads: the C++ tests of inspecting, of the shared list of sources, of random draws.
tsan() {
    build_deep tsan -DENGINEWRIGHT_SANITIZE=thread -DENGINEWRIGHT_PYTHON=OFF &&
        TSAN_OPTIONS=halt_on_error=1 "$venv/bin/ctest" --test-dir build/tsan --output-on-failure \
            --no-tests=error --parallel "$jobs"
}

# Prints the name of each file, then what was found in it. The flags are those of g++, of which
# clang does not know all.
tidy() {
    find cpp/src -name '*.cpp' | sort |
        xargs -P "$jobs" -I FILE sh -c 'found=$(clang-tidy -p build/asan --quiet --warnings-as-errors="*" \
            --extra-arg=-Wno-unknown-warning-option FILE 2>&1) && exit 0
            printf "%s\n%s\n" FILE "$found"
            exit 1'
}

fuzz() {
    "$venv/bin/cmake" -S tests/cpp/fuzz -B build/fuzz -G Ninja -DCMAKE_CXX_COMPILER=clang++ \
        "-DCMAKE_MAKE_PROGRAM=$venv/bin/ninja" &&
        "$venv/bin/cmake" --build build/fuzz --parallel "$jobs" || return 1
    for seeds in tests/cpp/fuzz/*/; do
        target=$(basename "$seeds")
        mkdir -p "build/fuzz/found/$target"
        "build/fuzz/fuzz_$target" -max_total_time="${FUZZ_SECONDS:-60}" -print_final_stats=1 \
            -timeout=10 -rss_limit_mb=2048 -artifact_prefix="build/fuzz/found/$target." \
            "build/fuzz/found/$target" "$seeds" || return 1
    done
}

# with_versions NAME LIST OPTIONS...: the Python tests in an environment of their own with what pip
# makes of a list. The extension needs no building anew: NumPy's interface for it is the same in all
# these versions. That one package leans on what another calls deprecated is no fault of ours.
with_versions() {
    name=$1 list=$2
    shift 2
    environment "$name" "$tree/cpp/bindings" || return 1
    own=build/$name/python/bin/python
    "$own" -m ensurepip >/dev/null &&
        "$own" -m pip install --quiet --disable-pip-version-check "$@" -r "$list" &&
        "$own" -m pytest -q -W default::DeprecationWarning -W default::FutureWarning \
            tests/python tests/flow --ignore tests/flow/test_setup.py \
            --ignore tests/flow/test_wheel.py --ignore tests/flow/test_cpp_package.py
}

lowest() { with_versions lowest tests/lowest.txt; }

# What will be the newest soon: a failure here is a warning in time.
newest() {
    mkdir -p build/newest
    sed -n 's/==.*//p' tests/lowest.txt >build/newest/names.txt
    with_versions newest build/newest/names.txt --pre
}

check warnings warnings
check asan asan
check asan-python asan_python
check tsan tsan
check clang-tidy tidy
check fuzz fuzz
check fuzz-of-files "$python" tests/flow/fuzz_files.py "${FUZZ_SECONDS:-60}"
check lowest lowest
check newest newest

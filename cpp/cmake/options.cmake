# Settings that every target of ours shares.
option(ENGINEWRIGHT_NATIVE "use every instruction of this machine; never for a wheel" OFF)
set(ENGINEWRIGHT_SANITIZE "" CACHE STRING "sanitizers, as for -fsanitize=")

if(NOT CMAKE_BUILD_TYPE)
    set(CMAKE_BUILD_TYPE Release)
endif()
# -O2 everywhere and no contraction: a verdict is bit for bit the same on every machine.
set(CMAKE_CXX_FLAGS_RELEASE "-O2 -DNDEBUG")
set(CMAKE_CXX_STANDARD 20)
set(CMAKE_CXX_STANDARD_REQUIRED ON)
set(CMAKE_CXX_EXTENSIONS OFF)
set(CMAKE_POSITION_INDEPENDENT_CODE ON)
set(CMAKE_CXX_VISIBILITY_PRESET hidden)
set(CMAKE_VISIBILITY_INLINES_HIDDEN ON)

find_program(CCACHE_PROGRAM ccache)
if(CCACHE_PROGRAM)
    set(CMAKE_CXX_COMPILER_LAUNCHER ${CCACHE_PROGRAM})
endif()

function(enginewright_flags target)
    target_compile_options(${target} PRIVATE
        -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion -Werror
        -ffp-contract=off -fno-fast-math)
    if(ENGINEWRIGHT_NATIVE)
        target_compile_options(${target} PUBLIC -march=native)
    endif()
    if(ENGINEWRIGHT_SANITIZE)
        target_compile_options(${target} PUBLIC -fsanitize=${ENGINEWRIGHT_SANITIZE} -fno-omit-frame-pointer)
        target_link_options(${target} PUBLIC -fsanitize=${ENGINEWRIGHT_SANITIZE})
    endif()
endfunction()

# Other people's libraries, found on the system. Eigen may also come from PyPI (cmeel-eigen).
if(Python_SITELIB AND EXISTS "${Python_SITELIB}/cmeel.prefix")
    list(APPEND CMAKE_PREFIX_PATH "${Python_SITELIB}/cmeel.prefix")
endif()

find_package(Eigen3 3.4 NO_MODULE QUIET)
if(NOT TARGET Eigen3::Eigen)
    message(FATAL_ERROR "Eigen 3.4 is missing: install Debian's libeigen3-dev, or cmeel-eigen from PyPI")
endif()
find_package(nlohmann_json 3.11 QUIET)
if(NOT TARGET nlohmann_json::nlohmann_json)
    message(FATAL_ERROR "nlohmann_json 3.11 is missing: install Debian's nlohmann-json3-dev")
endif()

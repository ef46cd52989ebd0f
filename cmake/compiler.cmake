# Warnings, sanitizers and the compiler cache, for every target of the project.
add_library(boxfettle_compiler INTERFACE)
target_compile_options(boxfettle_compiler INTERFACE -Wall -Wextra -Wconversion)
# GCC 12 sees overlapping copies where a literal is added to a std::string (gcc.gnu.org/PR105651).
target_compile_options(boxfettle_compiler INTERFACE $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict>)
target_compile_definitions(boxfettle_compiler INTERFACE BOXFETTLE_VERSION="${PROJECT_VERSION}")

if(BOXFETTLE_X86_LEVEL)
  target_compile_options(boxfettle_compiler INTERFACE -march=x86-64-${BOXFETTLE_X86_LEVEL})
endif()
if(BOXFETTLE_SANITIZE)
  target_compile_options(boxfettle_compiler INTERFACE -fsanitize=${BOXFETTLE_SANITIZE} -fno-omit-frame-pointer)
  # Instrumented, GCC takes an empty optional for an uninitialised value.
  if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
    target_compile_options(boxfettle_compiler INTERFACE -Wno-maybe-uninitialized)
  endif()
  target_link_options(boxfettle_compiler INTERFACE -fsanitize=${BOXFETTLE_SANITIZE})
endif()
if(BOXFETTLE_COVERAGE)
  target_compile_options(boxfettle_compiler INTERFACE --coverage)
  target_link_options(boxfettle_compiler INTERFACE --coverage)
endif()

find_program(CCACHE ccache)
if(CCACHE)
  set(CMAKE_CXX_COMPILER_LAUNCHER ${CCACHE})
endif()

# boxfettle_room(NAME USES other rooms... LIBRARIES outside libraries... TESTS_USE rooms its tests alone need...
#                TESTS_LABEL quick|slow)
#
# One library per folder of src/: every .cpp of the folder belongs to it, and every *_test.cpp to the folder's own
# test program; every *_survey_test.cpp, which draws many random cases and takes its time, to a slow one beside it. The arrows between rooms are what USES says; tests/house/ checks that the includes agree.
function(boxfettle_room NAME)
  cmake_parse_arguments(ROOM "" "TESTS_LABEL" "USES;LIBRARIES;TESTS_USE" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/*.cpp)
  set(tests ${sources})
  list(FILTER tests INCLUDE REGEX "_test\\.cpp$")
  set(surveys ${tests})
  list(FILTER surveys INCLUDE REGEX "_survey_test\\.cpp$")
  list(FILTER tests EXCLUDE REGEX "_survey_test\\.cpp$")
  list(FILTER sources EXCLUDE REGEX "_test\\.cpp$")

  set(used ${ROOM_USES})
  list(TRANSFORM used PREPEND boxfettle_)
  if(sources)
    set(reach PUBLIC)
    add_library(boxfettle_${NAME} STATIC ${sources})
  else()
    set(reach INTERFACE)
    add_library(boxfettle_${NAME} INTERFACE)
  endif()
  target_include_directories(boxfettle_${NAME} ${reach} ${CMAKE_SOURCE_DIR}/src)
  target_link_libraries(boxfettle_${NAME} ${reach} ${used} ${ROOM_LIBRARIES} Threads::Threads)
  if(sources)
    target_link_libraries(boxfettle_${NAME} PRIVATE boxfettle_compiler)
  endif()

  if(BOXFETTLE_TESTS AND tests)
    boxfettle_test(${NAME}_test SOURCES ${tests} USES ${NAME} ${ROOM_TESTS_USE} LABEL ${ROOM_TESTS_LABEL})
  endif()
  if(BOXFETTLE_TESTS AND surveys)
    boxfettle_test(${NAME}_survey_test SOURCES ${surveys} USES ${NAME} ${ROOM_TESTS_USE} LABEL slow)
  endif()
endfunction()

# boxfettle_test(NAME SOURCES files... USES rooms... LIBRARIES outside libraries... LABEL quick|slow)
#
# A GoogleTest program. Quick tests run in `./check --quick`; slow ones only in a full `./check`.
function(boxfettle_test NAME)
  cmake_parse_arguments(TEST "" "LABEL" "SOURCES;USES;LIBRARIES" ${ARGN})
  if(NOT TEST_LABEL)
    set(TEST_LABEL quick)
  endif()
  set(used ${TEST_USES})
  list(TRANSFORM used PREPEND boxfettle_)
  add_executable(${NAME} ${TEST_SOURCES})
  target_link_libraries(${NAME} PRIVATE ${used} ${TEST_LIBRARIES} GTest::gmock GTest::gtest GTest::gtest_main
                                        ${RAPIDCHECK_LIBRARY} boxfettle_compiler)
  target_include_directories(${NAME} PRIVATE ${CMAKE_SOURCE_DIR}/src ${CMAKE_SOURCE_DIR}/tests)
  target_compile_definitions(${NAME} PRIVATE BOXFETTLE_SOURCE_DIR="${CMAKE_SOURCE_DIR}"
                                             BOXFETTLE_PROGRAM="${CMAKE_BINARY_DIR}/boxfettle")
  gtest_discover_tests(${NAME} TEST_PREFIX "${NAME}: " DISCOVERY_TIMEOUT 60
                       PROPERTIES LABELS ${TEST_LABEL} TIMEOUT 600)
endfunction()

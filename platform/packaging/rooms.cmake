# Rooms and arrows (DEVELOPERS.md): a room is a folder and a static library, declared by one call that states what it may use.
# tests/layers reads the same calls and checks every #include against them.

find_program(CHOCKSIDE_CCACHE ccache)
if(CHOCKSIDE_CCACHE AND NOT CMAKE_CXX_COMPILER_LAUNCHER)
  set(CMAKE_CXX_COMPILER_LAUNCHER ${CHOCKSIDE_CCACHE})
endif()

add_library(chockside_flags INTERFACE)
target_compile_features(chockside_flags INTERFACE cxx_std_20)
target_compile_options(chockside_flags INTERFACE -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wno-sign-conversion -Werror
  # GCC 12 reports std::variant moves as reads of uninitialised members once they are inlined.
  $<$<CXX_COMPILER_ID:GNU>:-Wno-maybe-uninitialized>
  # The same compiler under -O3: concatenated strings as overlapping copies, compared byte vectors as reads past their end (bug 105651).
  $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict>
  $<$<CXX_COMPILER_ID:GNU>:-Wno-stringop-overread>)
target_include_directories(chockside_flags INTERFACE ${PROJECT_SOURCE_DIR})
if(CHOCKSIDE_SANITIZE)
  target_compile_options(chockside_flags INTERFACE -fsanitize=${CHOCKSIDE_SANITIZE} -fno-omit-frame-pointer)
  target_link_options(chockside_flags INTERFACE -fsanitize=${CHOCKSIDE_SANITIZE})
endif()

if(CHOCKSIDE_COVERAGE)
  target_compile_options(chockside_flags INTERFACE --coverage -O0)
  target_link_options(chockside_flags INTERFACE --coverage)
endif()

# chockside_room(core/base [MOC] USES core/x ... LINKS external ... PRIVATE_LINKS external ...)
# USES: rooms whose headers this room may include. LINKS: libraries outside the project.
function(chockside_room room)
  cmake_parse_arguments(R "MOC" "" "USES;LINKS;PRIVATE_LINKS" ${ARGN})
  string(REPLACE "/" "_" target ${room})
  file(GLOB sources CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/${room}/*.cpp ${PROJECT_SOURCE_DIR}/${room}/detail/*.cpp)
  file(GLOB headers CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/${room}/*.h ${PROJECT_SOURCE_DIR}/${room}/detail/*.h)
  list(FILTER sources EXCLUDE REGEX "/main(_[a-z]+)?\\.cpp$")
  list(TRANSFORM R_USES REPLACE "/" "_")
  if(sources)
    add_library(${target} STATIC ${sources} ${headers})
    if(R_MOC)
      set_target_properties(${target} PROPERTIES AUTOMOC ON)
    endif()
    target_link_libraries(${target} PUBLIC chockside_flags ${R_USES} ${R_LINKS} PRIVATE ${R_PRIVATE_LINKS})
  else()
    add_library(${target} INTERFACE)
    target_link_libraries(${target} INTERFACE chockside_flags ${R_USES} ${R_LINKS})
  endif()
endfunction()

# chockside_test(core/base [EXTRA room ...] [LINKS ...]): every tests/<room>/tst_*.cpp in one program, one ctest case.
function(chockside_test room)
  cmake_parse_arguments(T "" "" "EXTRA;LINKS" ${ARGN})
  string(REPLACE "/" "_" target ${room})
  list(TRANSFORM T_EXTRA REPLACE "/" "_")
  file(GLOB sources CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/tests/${room}/*.cpp)
  if(NOT sources)
    return()
  endif()
  add_executable(tst_${target} ${sources})
  set_target_properties(tst_${target} PROPERTIES AUTOMOC ON)
  target_link_libraries(tst_${target} PRIVATE ${T_EXTRA} tests_support ${T_LINKS})
  if(TARGET ${target})
    target_link_libraries(tst_${target} PRIVATE ${target})
  endif()
  # The tests' own code is compiled once and runs for milliseconds: optimising it took a third of its compiler's time.
  target_compile_options(tst_${target} PRIVATE $<$<CONFIG:RelWithDebInfo>:-O0>)
  target_compile_definitions(tst_${target} PRIVATE CHOCKSIDE_SOURCE_DIR="${PROJECT_SOURCE_DIR}" CHOCKSIDE_BIN_DIR="${CMAKE_BINARY_DIR}/bin")
  add_test(NAME ${room} COMMAND tst_${target})
  set_tests_properties(${room} PROPERTIES ENVIRONMENT "QT_QPA_PLATFORM=offscreen;QT_QUICK_BACKEND=software;XDG_RUNTIME_DIR=${CMAKE_BINARY_DIR};ASAN_OPTIONS=detect_leaks=0;TSAN_OPTIONS=die_after_fork=0:suppressions=${PROJECT_SOURCE_DIR}/tests/support/tsan.supp")
endfunction()

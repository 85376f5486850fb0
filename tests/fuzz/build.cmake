# cmake -DSOURCE=... -DBUILD=... -P build.cmake
find_program(clang NAMES clang++ clang++-14 REQUIRED)
foreach(step "-S;${SOURCE};-B;${BUILD};-G;Ninja;-DCMAKE_CXX_COMPILER=${clang};-DCMAKE_BUILD_TYPE=None" "--build;${BUILD}")
  execute_process(COMMAND ${CMAKE_COMMAND} ${step} RESULT_VARIABLE failed)
  if(failed)
    message(FATAL_ERROR "the fuzzers do not build (clang, libclang-rt-dev)")
  endif()
endforeach()

# SPDX-License-Identifier: Apache-2.0
# Installs BUILD into WORK, builds the consumer in HERE against it, and runs it on PHOTO.
function(run)
  execute_process(COMMAND ${ARGV} RESULT_VARIABLE trouble OUTPUT_VARIABLE said ERROR_VARIABLE said)
  message("${said}")
  if(trouble)
    message(FATAL_ERROR "failed: ${ARGV}")
  endif()
  set(said "${said}" PARENT_SCOPE)
endfunction()

file(REMOVE_RECURSE ${WORK}/prefix ${WORK}/consumer)
run(${CMAKE_COMMAND} --install ${BUILD} --prefix ${WORK}/prefix)
run(${CMAKE_COMMAND} -G Ninja -S ${HERE}/consumer -B ${WORK}/consumer -DCMAKE_PREFIX_PATH=${WORK}/prefix)
run(${CMAKE_COMMAND} --build ${WORK}/consumer)
run(${WORK}/consumer/consumer ${PHOTO})
# Newcombe 1998, Stat Med 17:857: Wilson's lower limit for 98 of 104 is .8798.
if(NOT said MATCHES "2400 px wide; [01] trays; 98 of 104: at least 0.8798")
  message(FATAL_ERROR "the consumer said something else")
endif()
run(${WORK}/prefix/bin/braird --version)

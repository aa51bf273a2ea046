# SPDX-License-Identifier: Apache-2.0
# The parts of OpenCV that vision uses, as the targets opencv_core and so on. Debian keeps OpenCV's own CMake package in
# libopencv-dev, which draws in every module and over 300 packages more; without it the libraries are found by hand.
set(BRAIRD_OPENCV_MODULES core imgproc dnn)
find_package(OpenCV 4.6 QUIET COMPONENTS ${BRAIRD_OPENCV_MODULES})
if(NOT OpenCV_FOUND)
  foreach(module IN LISTS BRAIRD_OPENCV_MODULES)
    if(TARGET opencv_${module})
      continue()
    endif()
    find_path(BRAIRD_OPENCV_INCLUDE opencv2/${module}.hpp PATH_SUFFIXES opencv4 REQUIRED)
    find_library(BRAIRD_OPENCV_${module} opencv_${module} REQUIRED)
    add_library(opencv_${module} UNKNOWN IMPORTED GLOBAL)
    set_target_properties(opencv_${module} PROPERTIES
      IMPORTED_LOCATION ${BRAIRD_OPENCV_${module}}
      INTERFACE_INCLUDE_DIRECTORIES ${BRAIRD_OPENCV_INCLUDE})
  endforeach()
endif()

# SPDX-License-Identifier: Apache-2.0
# OpenCV's core and imgproc as the targets opencv_core and opencv_imgproc. Debian keeps OpenCV's own CMake package in
# libopencv-dev, which draws in every module and some 340 packages more; so without it the two libraries are found by hand.
find_package(OpenCV 4.6 QUIET COMPONENTS core imgproc)
if(NOT OpenCV_FOUND)
  find_path(BRAIRD_OPENCV_INCLUDE opencv2/imgproc.hpp PATH_SUFFIXES opencv4 REQUIRED)
  foreach(module core imgproc)
    find_library(BRAIRD_OPENCV_${module} opencv_${module} REQUIRED)
    if(NOT TARGET opencv_${module})
      add_library(opencv_${module} UNKNOWN IMPORTED GLOBAL)
      set_target_properties(opencv_${module} PROPERTIES
        IMPORTED_LOCATION ${BRAIRD_OPENCV_${module}}
        INTERFACE_INCLUDE_DIRECTORIES ${BRAIRD_OPENCV_INCLUDE})
    endif()
  endforeach()
  target_link_libraries(opencv_imgproc INTERFACE opencv_core)
endif()

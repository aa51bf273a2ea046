# SPDX-License-Identifier: Apache-2.0
# The libraries that vision stands on, found for the build and again for whoever uses the installed package.
find_package(fmt REQUIRED)
find_package(OpenMP REQUIRED COMPONENTS CXX)
find_package(PkgConfig REQUIRED)
find_package(PNG REQUIRED)
find_package(TIFF REQUIRED)
find_package(ZXing REQUIRED)
pkg_check_modules(turbojpeg REQUIRED IMPORTED_TARGET GLOBAL libturbojpeg)
pkg_check_modules(webp REQUIRED IMPORTED_TARGET GLOBAL libwebp)
pkg_check_modules(exif REQUIRED IMPORTED_TARGET GLOBAL libexif)

# The parts of OpenCV in use, as the targets opencv_core and so on. Debian keeps OpenCV's own CMake package in
# libopencv-dev, which draws in every module and over 300 packages more; without it the libraries are found by hand.
set(BRAIRD_OPENCV_MODULES core imgproc)
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

# oneDNN's own CMake package asks for OpenCL's headers too, which nothing here needs.
if(NOT TARGET braird_onednn)
  find_path(BRAIRD_ONEDNN_INCLUDE dnnl.hpp REQUIRED)
  find_library(BRAIRD_ONEDNN dnnl REQUIRED)
  add_library(braird_onednn UNKNOWN IMPORTED GLOBAL)
  set_target_properties(braird_onednn PROPERTIES
    IMPORTED_LOCATION ${BRAIRD_ONEDNN}
    INTERFACE_INCLUDE_DIRECTORIES ${BRAIRD_ONEDNN_INCLUDE})
endif()

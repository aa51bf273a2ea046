// SPDX-License-Identifier: Apache-2.0
#include "vision/photo.h"

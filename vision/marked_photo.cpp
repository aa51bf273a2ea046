// SPDX-License-Identifier: Apache-2.0
#include "vision/marked_photo.h"

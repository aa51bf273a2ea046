// SPDX-License-Identifier: Apache-2.0
// Both, since the precompiled doctest.h has passed where the one brings the other.
#define DOCTEST_CONFIG_IMPLEMENT
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

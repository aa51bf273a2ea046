/* SPDX-License-Identifier: Apache-2.0 */
/* The networks that are compiled into the library, for C++ and for the assembler: BRAIRD_MODELS(MACRO) names
   each in turn. NAME's weights lie in vision/models/NAME.safetensors. */
#pragma once

#define BRAIRD_MODELS(model)                                                               \
  model(lattice) model(lattice_closer) model(ends) model(seams) model(counts) model(seeds) \
      model(seeds_large_tray) model(coming_up)

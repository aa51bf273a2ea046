/* SPDX-License-Identifier: Apache-2.0 */
#include "vision/model_names.h"

        .macro include_model name
        .global braird_\name\()_model, braird_\name\()_model_end
        .balign 64
braird_\name\()_model:
        .incbin "\name\().safetensors"
braird_\name\()_model_end:
        .endm

#define INCLUDE_MODEL(name) include_model name;

        .section .rodata
        BRAIRD_MODELS(INCLUDE_MODEL)
        .section .note.GNU-stack,"",%progbits

/* SPDX-License-Identifier: Apache-2.0 */
        .section .rodata
        .global braird_lattice_model, braird_lattice_model_end, braird_ends_model, braird_ends_model_end
        .global braird_lattice_closer_model, braird_lattice_closer_model_end
        .global braird_counts_model, braird_counts_model_end, braird_seeds_model, braird_seeds_model_end
        .global braird_seeds_large_tray_model, braird_seeds_large_tray_model_end
        .global braird_seams_model, braird_seams_model_end
        .global braird_coming_up_model, braird_coming_up_model_end
        .balign 64
braird_lattice_model:
        .incbin "lattice.safetensors"
braird_lattice_model_end:
        .balign 64
braird_lattice_closer_model:
        .incbin "lattice_closer.safetensors"
braird_lattice_closer_model_end:
        .balign 64
braird_ends_model:
        .incbin "ends.safetensors"
braird_ends_model_end:
        .balign 64
braird_seams_model:
        .incbin "seams.safetensors"
braird_seams_model_end:
        .balign 64
braird_counts_model:
        .incbin "counts.safetensors"
braird_counts_model_end:
        .balign 64
braird_seeds_model:
        .incbin "seeds.safetensors"
braird_seeds_model_end:
        .balign 64
braird_seeds_large_tray_model:
        .incbin "seeds_large_tray.safetensors"
braird_seeds_large_tray_model_end:
        .balign 64
braird_coming_up_model:
        .incbin "coming_up.safetensors"
braird_coming_up_model_end:
        .section .note.GNU-stack,"",%progbits

/* The weights of the network that reads strips, as part of the program. DISCAL_GLYPHS_FILE: their path. */
#if defined(__APPLE__)
#define NAME(name) _##name
    .section __TEXT,__const
#else
#define NAME(name) name
    .section .rodata
#endif
    .balign 16
    .globl NAME(discal_glyph_weights)
NAME(discal_glyph_weights):
    .incbin DISCAL_GLYPHS_FILE
    .globl NAME(discal_glyph_weights_end)
NAME(discal_glyph_weights_end):
    .byte 0
#if defined(__ELF__)
    .section .note.GNU-stack, "", %progbits
#endif

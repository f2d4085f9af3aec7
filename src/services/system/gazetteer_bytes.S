/* The gazetteer as part of the program, for phones, where no file of ours lies beside it. DISCAL_GAZETTEER_FILE: its path.
   Assembled by the C compiler of Debian, Android and Apple alike; the bytes never pass through C++. */
#if defined(__APPLE__)
#define NAME(name) _##name
    .section __TEXT,__const
#else
#define NAME(name) name
    .section .rodata
#endif
    .balign 16
    .globl NAME(discal_gazetteer_begin)
NAME(discal_gazetteer_begin):
    .incbin DISCAL_GAZETTEER_FILE
    .globl NAME(discal_gazetteer_end)
NAME(discal_gazetteer_end):
    .byte 0
#if defined(__ELF__)
    .section .note.GNU-stack, "", %progbits
#endif

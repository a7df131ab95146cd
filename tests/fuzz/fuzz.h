/* fuzz.h - what a fuzz target is: a function that must survive any bytes. libFuzzer calls it, and so does
 * replay.c with the kept corpus. */
#ifndef FUZZ_H
#define FUZZ_H

#include <stddef.h>
#include <stdint.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* The bytes as a text; given: free() it. */
char *fuzz_text(const uint8_t *data, size_t size);

/* Stop, as a sanitizer would, when something that must hold does not. */
#define FUZZ_HOLDS(condition)                                                                                \
    do {                                                                                                     \
        if (!(condition))                                                                                    \
            fuzz_stop(#condition, __FILE__, __LINE__);                                                       \
    } while (0)
_Noreturn void fuzz_stop(const char *what, const char *file, int line);

#endif

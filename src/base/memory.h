/* memory.h - memory that is there or stops the program (the notebook stays whole, because all
 * writing is done inside a transaction). */
#ifndef MEMORY_H
#define MEMORY_H

#include <stddef.h>

/* Number of elements of an array that is visible as one. */
#define LENGTH(array) (sizeof(array) / sizeof((array)[0]))

/* Zeroed memory for `count` elements; given: free() it. Stops the program when there is none or
 * when count * size overflows. */
void *memory_new(size_t count, size_t size);

/* A larger or smaller piece of memory with the old contents; given: free() it. */
void *memory_resize(void *memory, size_t count, size_t size);

/* A copy of a text; NULL gives NULL. Given: free() it. */
char *memory_copy(const char *text);

/* Make room for one more element in a growing array: when `count` has reached `*capacity` the
 * capacity is doubled (8 at first). Gives the array, perhaps moved. */
void *memory_room(void *array, size_t count, size_t *capacity, size_t size);

#endif

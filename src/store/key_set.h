/* key_set.h - a set of 64-bit keys, each with a number. For the store room alone.
 *
 * A key is a keyed hash (SipHash) over what it stands for, so that no file can be made up to collide: two
 * different things among a million share a key with a chance of 3 in 100 million. */
#ifndef KEY_SET_H
#define KEY_SET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Zeroed is empty. With `values` NULL it keeps no numbers, which halves its memory. */
struct key_set {
    uint64_t *keys; /* 0: free */
    int64_t *values;
    size_t capacity, count;
};

/* The key of some bytes, never 0. `secret` is 16 random bytes of this run. */
uint64_t key_of(const void *bytes, size_t length, const unsigned char secret[16]);

/* Add a key; false when it is there already. */
bool key_set_add(struct key_set *set, uint64_t key);

/* The number that goes with a key; a new one begins with `initial`. Lent until the next call. Not to be
 * mixed with key_set_add(). */
int64_t *key_set_value(struct key_set *set, uint64_t key, int64_t initial);

/* The number that goes with a key; `otherwise` when it is not there. */
int64_t key_set_find(const struct key_set *set, uint64_t key, int64_t otherwise);

void key_set_clear(struct key_set *set);

#endif

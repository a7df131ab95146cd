/* key_set.c - a set of 64-bit keys: open addressing, two thirds full at most. */
#include "key_set.h"

#include <sodium.h>
#include <stdlib.h>

#include "memory.h"

uint64_t
key_of(const void *bytes, size_t length, const unsigned char secret[16])
{
    union {
        unsigned char bytes[crypto_shorthash_BYTES];
        uint64_t number;
    } key;

    crypto_shorthash(key.bytes, bytes, length, secret);
    return key.number == 0 ? 1 : key.number;
}

/* The key's place, or the free one where it goes. */
static size_t
place(const struct key_set *set, uint64_t key)
{
    size_t at = (size_t)key & (set->capacity - 1);

    while (set->keys[at] != 0 && set->keys[at] != key)
        at = (at + 1) & (set->capacity - 1);
    return at;
}

static void
grow(struct key_set *set, bool with_values)
{
    struct key_set larger = {.capacity = set->capacity == 0 ? 1024 : 2 * set->capacity, .count = set->count};

    if (set->capacity > 0 && 3 * (set->count + 1) <= 2 * set->capacity)
        return;
    larger.keys = memory_new(larger.capacity, sizeof *larger.keys);
    if (with_values)
        larger.values = memory_new(larger.capacity, sizeof *larger.values);
    for (size_t i = 0; i < set->capacity; i++) {
        size_t at;

        if (set->keys[i] == 0)
            continue;
        at = place(&larger, set->keys[i]);
        larger.keys[at] = set->keys[i];
        if (with_values)
            larger.values[at] = set->values[i];
    }
    key_set_clear(set);
    *set = larger;
}

bool
key_set_add(struct key_set *set, uint64_t key)
{
    size_t at;

    grow(set, false);
    at = place(set, key);
    if (set->keys[at] == key)
        return false;
    set->keys[at] = key;
    set->count++;
    return true;
}

int64_t *
key_set_value(struct key_set *set, uint64_t key, int64_t initial)
{
    size_t at;

    grow(set, true);
    at = place(set, key);
    if (set->keys[at] == 0) {
        set->keys[at] = key;
        set->values[at] = initial;
        set->count++;
    }
    return &set->values[at];
}

int64_t
key_set_find(const struct key_set *set, uint64_t key, int64_t otherwise)
{
    size_t at = set->capacity == 0 ? 0 : place(set, key);

    return set->capacity > 0 && set->keys[at] == key ? set->values[at] : otherwise;
}

void
key_set_clear(struct key_set *set)
{
    free(set->keys);
    free(set->values);
    *set = (struct key_set){0};
}

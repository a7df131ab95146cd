/* draw.h - a stream of random numbers for Monte Carlo: xoshiro256** seeded by splitmix64.
 *
 * Source: D. Blackman and S. Vigna (2021), Scrambled linear pseudorandom number generators, ACM Transactions
 * on Mathematical Software 47(4), article 36, doi:10.1145/3460772; splitmix64: G. Steele, D. Lea and C. Flood
 * (2014), Fast splittable pseudorandom number generators, OOPSLA, doi:10.1145/2660193.2660195.
 *
 * Why not the generators of GSL: this one is inlined into the loop that uses it, and that loop is most of the
 * time a Monte Carlo takes. It is fit for simulation and not for secrets.
 *
 * Rules
 * (1) A stream belongs to one caller; there is no shared state, so threads with a stream each do not meet.
 * (2) The same seed gives the same numbers on every machine. */
#ifndef DRAW_H
#define DRAW_H

#include <stdint.h>

struct draw {
    uint64_t state[4];
};

/* Start a stream; every seed is allowed, 0 too. */
void draw_init(struct draw *draw, uint64_t seed);

/* The next 64 random bits, all of equal quality. */
static inline uint64_t
draw_bits(struct draw *draw)
{
    uint64_t *s = draw->state;
    uint64_t times_5 = s[1] * 5;
    uint64_t bits = ((times_5 << 7) | (times_5 >> 57)) * 9;
    uint64_t shifted = s[1] << 17;

    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= shifted;
    s[3] = (s[3] << 45) | (s[3] >> 19);
    return bits;
}

/* Two independent numbers, evenly spread above 0 and below 1, in steps of 2^-32: enough for a rectangular
 * quantity, and half the work of two full draws. */
static inline void
draw_pair(struct draw *draw, double *ret_first, double *ret_second)
{
    uint64_t bits = draw_bits(draw);

    *ret_first = ((double)(int64_t)(bits >> 32) + 0.5) * 0x1p-32;
    *ret_second = ((double)(int64_t)(bits & 0xffffffffU) + 0.5) * 0x1p-32;
}

#endif

/* draw.c - seeding of the stream of random numbers. */
#include "draw.h"

/* splitmix64: neighbouring seeds give unrelated states, and never the all-zero state. */
void
draw_init(struct draw *draw, uint64_t seed)
{
    for (int i = 0; i < 4; i++) {
        uint64_t z = (seed += 0x9e3779b97f4a7c15U);

        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
        z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
        draw->state[i] = z ^ (z >> 31);
    }
}

/* caution.h - the cautions that stand beside results and instructions. */
#ifndef CAUTION_H
#define CAUTION_H

#include "command.h"

/* What is handled; several are joined with |. Local rules and the licensed assessor are always named. */
enum caution {
    CAUTION_LYE = 1,     /* gloves and goggles, lye into water */
    CAUTION_BAR = 2,     /* a bar that may be lye-heavy: not on skin, not tasted, kept away and held */
    CAUTION_ETHANOL = 4, /* flammable */
    CAUTION_HEAT = 8     /* rebatching: hot soap, lye that spits */
};

void caution_print(const struct context *context, unsigned cautions);

#endif

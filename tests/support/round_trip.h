/* round_trip.h - export, import into a new notebook, export again: the same bytes. */
#ifndef ROUND_TRIP_H
#define ROUND_TRIP_H

#include "kitchen.h"

/* Checks it for the kitchen's notebook, and that the new notebook verifies. Prints the bytes compared.
 * manner  the options that say how the files are written; "" for none */
void round_trip_check(struct kitchen *kitchen, const char *manner);

#endif

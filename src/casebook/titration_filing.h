/* titration_filing.h - a portion titrated in a walk-through, filed. */
#ifndef TITRATION_FILING_H
#define TITRATION_FILING_H

#include "store.h"
#include "titration.h"

/* File what a walk-through measured. An answer that stands on record but cannot be reckoned with must not cost the
 * titration: a blank larger than the titration, or a burette that cannot be, is left out as not measured, and the
 * titration's note says so.
 *
 * titration  checked here; its note is set
 *
 * STATUS as titration_check() and titration_store_add(). */
enum status titration_filing(struct store *store, struct titration *titration, struct failure *failure);

#endif

/* correct_record.h - put values of any record right, or withdraw it.
 *
 * Rules
 * (1) Which records there are, what of them can be put right and how it is kept is said in correctable.h, once; a value is what
 *     its column may hold, and the record as a whole must pass the check it passed when it was kept.
 * (2) What was worked out from a value is worked out anew: a calibration's slope, offset and verdict.
 * (3) In the same transaction what follows for batches is settled (settling.h) and said. */
#ifndef CORRECT_RECORD_H
#define CORRECT_RECORD_H

#include "command.h"
#include "correctable.h"

/* STATUS_USAGE when the options do not go with the record, or say nothing to put right. */
enum status correct_record_check(const struct options *options, const struct correctable *record,
                                 struct failure *failure);

/* Put right what the options say.
 *
 * name  the row's number; a batch's code or gear's name where the record has one
 *
 * STATUS as correction_store_add(), and as the record's own check. */
enum status correct_record(struct context *context, const struct options *options,
                           const struct correctable *record, const char *name, struct failure *failure);

#endif

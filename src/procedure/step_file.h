/* step_file.h - a procedure file: text to steps, with every mistake listed by its line.
 *
 * Rules
 * (1) The file is INI: "key = value" lines under [procedure], then one [step KEY] for each step in the
 *     order in which they are walked. A line that begins with blanks continues the value above it. A comment
 *     has a line of its own, which begins with ; or #.
 * (2) All of it is read and checked before anything is walked; mistakes do not hide one another.
 * (3) A file has at most 64 KiB and a line at most 197 bytes, so that nothing is cut silently.
 * (4) In texts the lines are joined with a blank; in "cautions" each line is one caution; "choices" are
 *     separated by commas. Numbers may have a decimal comma or point.
 *
 * [procedure]  title, summary, applies (soap-solution, meter or titration) and cautions are needed; follows,
 *   limit_ph (7 to 11), clear_ph (7 to 10.7; by age when left out) and usual_low_ph, which bounds.h explains, temperature_c (15 to 50), temperature_tolerance_c,
 *   concentration_pct (0.5 to 2), concentration_tolerance_pct have the usual values when left out. What lies
 *   outside these ranges is never judged.
 * [step KEY]   kind (do, wait, mass, volume, concentration, temperature, ph, paper, choice, note) and text
 *   are needed; caution, follows, scope (session or specimen), optional (yes or no) fit every kind; target,
 *   tolerance, unit, records, replicates those with a value; duration_s a wait, choices and expected a
 *   choice, buffer a pH. */
#ifndef STEP_FILE_H
#define STEP_FILE_H

#include "procedure.h"
#include "text.h"

enum { STEP_FILE_LARGEST = 65536, STEP_FILE_LINE_LONGEST = 197, STEP_FILE_STEPS_MOST = 100 };

/* Read a procedure from text.
 *
 * file           names it in the mistakes; the procedure's name is what is left without folder and ".ini"
 * ret_procedure  owned by the caller, procedure_clear()
 * mistakes       NULL, or gets one line for each mistake: "soap.ini:7: 'taret' is unknown, did you mean 'target'?"
 *
 * STATUS_FORMAT when there are mistakes; the failure says how many, and the first of them. */
enum status step_file_parse(const char *file, const char *text, struct procedure *ret_procedure,
                            struct text *mistakes, struct failure *failure);

/* The same from a file. STATUS_MISSING and STATUS_SYSTEM as file_read(). */
enum status step_file_read(const char *path, struct procedure *ret_procedure, struct text *mistakes,
                           struct failure *failure);

#endif

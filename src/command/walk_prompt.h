/* walk_prompt.h - a walk at the terminal: asks what the session asks for next, and says what follows.
 *
 * Rules
 * (1) Where a walk stands is read from the notebook (walk.h): resuming, after quit or after a crash, is walking again.
 * (2) The order offered is that of question.h; "cup 2" goes to what is open in that cup, and then on in its round.
 *     "cup" alone shows where each cup stands.
 * (3) "back" leads to what was answered before and asks for it anew; "back 9.87" gives the new value at once. Enter
 *     alone keeps what was there.
 * (4) Through a pipe a wait is taken as done, because nobody waits there. */
#ifndef WALK_PROMPT_H
#define WALK_PROMPT_H

#include "command.h"

/* Walk a session that bench_begin() began, from where it stands.
 *
 * after_resume  options that stand behind "resume" in the command to go on with, as in " --at 2026-03-04T10:00"
 * ret_finished  true when it is finished now, false when it was left with quit or the end of the input
 *
 * STATUS_CONFLICT when it was finished before; STATUS_MISSING, STATUS_FORMAT as bench_lay_out();
 * STATUS_SYSTEM when the notebook fails: what was kept before is on disk. */
enum status walk_prompt(struct context *context, int64_t session_id, const char *after_resume,
                        bool *ret_finished, struct failure *failure);

#endif

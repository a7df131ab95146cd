/* typed.h - what was typed at a question of a walk, as the values of an answer. */
#ifndef TYPED_H
#define TYPED_H

#include "gear.h"
#include "question.h"

/* The text of an answer to a paper's question that was a strip on the wet bar. */
extern const char typed_on_surface[];

/* What is known beside the question. */
struct typed_beside {
    const struct gear *paper; /* whose printed steps a range is typed in; NULL: none */
    double before_c;          /* the temperature that Enter alone repeats where one is asked for; NAN: none */
    double drop_ml; /* the size of a drop, or its mass in g, for acid that is counted; NAN: not known */
};

/* What a question is answered with, as values; the answer's text is set for a choice and for words.
 *
 * answer  made by answer_init(), or the one that stands where only its temperature is asked for
 *
 * STATUS as answer_text.h; the answer may then hold a part. */
enum status typed_take(const struct question *question, const struct typed_beside *beside, const char *words,
                       struct answer *answer, struct failure *failure);

#endif

/* typed.h - what was typed at a question of a walk-through, before it is an answer. */
#ifndef TYPED_H
#define TYPED_H

#include "gear.h"
#include "question.h"

/* All lent. Zeroed but for the numbers, which are NAN. */
struct typed {
    const struct question *question;
    const struct gear *paper;
    bool correcting;      /* Enter alone keeps what is there */
    bool can_calibrate;   /* "calibrate" is one of the choices */
    double before_c;      /* the temperature that Enter alone repeats; NAN: none */
    bool keep, calibrate; /* what was typed: Enter alone at a correction; "calibrate" */
    double value, value_high,
        temperature_c; /* as struct answer; the temperature typed behind a pH or range */
    size_t choice;
};

/* What prompt_ask() parses with; `payload` is a struct typed. STATUS as answer_text.h. */
enum status typed_take(const char *text, void *payload, struct failure *failure);

#endif

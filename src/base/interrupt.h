/* interrupt.h - Ctrl-C while a person is asked: a way to leave, after which nothing is half-written.
 *
 * Rules
 * (1) From interrupt_catch() to interrupt_release() SIGINT is kept waiting, except while the program itself
 *     waits for a person, between interrupt_listen(true) and interrupt_listen(false). There it breaks off what
 *     reads or polls, with EINTR, and is noted.
 * (2) A second one while the program waits ends it at once, as if nothing were caught.
 * (3) A SIGINT that the caller ignores stays ignored.
 *
 * Signals belong to the whole process, and so does the note kept here; main.c and the questions share it. */
#ifndef INTERRUPT_H
#define INTERRUPT_H

#include <signal.h>
#include <stdbool.h>
#include <stdio.h>

void interrupt_catch(void); /* and forget one noted before */
void interrupt_release(void);

/* Let it in, or keep it waiting again; without interrupt_catch() nothing happens. */
void interrupt_listen(bool listen);

/* Wait until there is something to read or one comes; in one step, so that none is lost before the reading begins. The
 * stream must not keep what it read ahead: unbuffered. Without interrupt_catch(), or for a stream that is no file, it
 * returns at once. */
void interrupt_await(FILE *in);

/* True when one was noted. */
bool interrupt_came(void);

/* End the process as an uncaught SIGINT does (130 in a shell) if one was noted; else return. */
void interrupt_pass_on(void);

/* While files are on the disk that must not be left behind: SIGINT, SIGTERM and SIGHUP are kept waiting from
 * interrupt_hold() to interrupt_let_go(), where the one that came ends the process. They nest. What takes long asks
 * interrupt_waits() now and then, and leaves by its usual way out.
 * ret_held_before  what was kept waiting before: for interrupt_let_go(), and for programs started meanwhile */
void interrupt_hold(sigset_t *ret_held_before);
void interrupt_let_go(const sigset_t *held_before);
bool interrupt_waits(void);

#endif

/* interrupt.c - Ctrl-C while a person is asked. */
#include "interrupt.h"

#include <poll.h>
#include <signal.h>
#include <stddef.h>

#include "memory.h"

static volatile sig_atomic_t noted;
static bool caught; /* between interrupt_catch() and interrupt_release() */
static struct sigaction before;

static void
note(int number)
{
    noted = 1;
    signal(number, SIG_DFL); /* rule 2 */
}

static void
mask(int how)
{
    sigset_t only;

    sigemptyset(&only);
    sigaddset(&only, SIGINT);
    sigprocmask(how, &only, NULL);
}

void
interrupt_catch(void)
{
    struct sigaction action = {.sa_handler = note}; /* no SA_RESTART: rule 1 */

    noted = 0;
    sigaction(SIGINT, NULL, &before);
    if (before.sa_handler == SIG_IGN) /* rule 3 */
        return;
    mask(SIG_BLOCK);
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    caught = true;
}

void
interrupt_release(void)
{
    if (!caught)
        return;
    caught = false;
    mask(SIG_UNBLOCK); /* one that waits is noted still */
    sigaction(SIGINT, &before, NULL);
}

void
interrupt_listen(bool listen)
{
    if (caught)
        mask(listen ? SIG_UNBLOCK : SIG_BLOCK);
}

void
interrupt_await(FILE *in)
{
    struct pollfd input = {.fd = fileno(in), .events = POLLIN};
    sigset_t open;

    if (!caught || input.fd < 0)
        return;
    sigprocmask(SIG_SETMASK, NULL, &open);
    sigdelset(&open, SIGINT);
    ppoll(&input, 1, NULL, &open); /* a signal ends it, also one that waited */
}

bool
interrupt_came(void)
{
    return noted != 0;
}

void
interrupt_pass_on(void)
{
    if (!interrupt_came())
        return;
    signal(SIGINT, SIG_DFL);
    raise(SIGINT);
}

static const int ending[] = {SIGINT, SIGTERM, SIGHUP};

void
interrupt_hold(sigset_t *ret_held_before)
{
    sigset_t held;

    sigemptyset(&held);
    for (size_t i = 0; i < LENGTH(ending); i++)
        sigaddset(&held, ending[i]);
    sigprocmask(SIG_BLOCK, &held, ret_held_before);
}

void
interrupt_let_go(const sigset_t *held_before)
{
    sigprocmask(SIG_SETMASK, held_before, NULL);
}

bool
interrupt_waits(void)
{
    sigset_t waiting;

    sigpending(&waiting);
    for (size_t i = 0; i < LENGTH(ending); i++)
        if (sigismember(&waiting, ending[i]) == 1)
            return true;
    return false;
}

/*
 * stop: signals that end the program. While files are put in place they wait, so that a folder is
 * whole or as it was, and nothing is left beside it. A library that gives up by exit(), as that of
 * OpenMP does without memory, is taken for what it is.
 */
#define _GNU_SOURCE
#include <cli/cli.h>
#include <cli/stop.h>

#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

static volatile sig_atomic_t held, noting, waiting; /* a handler has no other way to know */
static bool leaving;
static sigset_t usual; /* what is blocked but while signals are noted */

static const int endings[] = {SIGHUP,  SIGINT,  SIGQUIT, SIGALRM, SIGTERM,
                              SIGUSR1, SIGUSR2, SIGXCPU, SIGPIPE};

static void end_by(int number)
{
    signal(number, SIG_DFL);
    raise(number);
}

static void on_signal(int number)
{
    if (!held && (!noting || number == SIGPIPE))
        end_by(number);
    else if (number != SIGPIPE)
        waiting = number;
}

static void on_exit_of_others(void)
{
    static const char words[] = "narrows: not enough memory: a library gave up\n";
    if (!leaving) {
        ssize_t put = write(STDERR_FILENO, words, sizeof words - 1);
        _exit(put < 0 ? EXIT_BAD : EXIT_BAD);
    }
}

/* A file must not get the number of a stream that whoever started us closed. */
static void streams_open(void)
{
    for (int stream = STDIN_FILENO; stream <= STDERR_FILENO; stream++)
        if (fcntl(stream, F_GETFD) < 0)
            (void)!open("/dev/null", stream == STDIN_FILENO ? O_WRONLY : O_RDONLY);
}

void stop_watch(void)
{
    streams_open();
    atexit(on_exit_of_others);
    signal(SIGXFSZ, SIG_IGN); /* the write says so */
    struct sigaction action = {.sa_handler = on_signal, .sa_flags = SA_RESTART}, before;
    sigfillset(&action.sa_mask);
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++)
        if (sigaction(endings[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN)
            sigaction(endings[i], &action, NULL);
}

static void on_child(int number)
{
    (void)number; /* only ends the waiting */
}

void stop_note(void)
{
    sigset_t noted;
    waiting = 0;
    noting = 1;
    sigemptyset(&noted);
    sigaddset(&noted, SIGCHLD);
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++)
        if (endings[i] != SIGPIPE)
            sigaddset(&noted, endings[i]);
    signal(SIGCHLD, on_child);
    sigprocmask(SIG_BLOCK, &noted, &usual);
}

pid_t stop_wait(int *ending, struct rusage *usage)
{
    pid_t pid;
    while ((pid = wait4(-1, ending, WNOHANG, usage)) == 0 && !waiting)
        sigsuspend(&usual);
    return pid;
}

int stop_take(void)
{
    int number = waiting;
    waiting = 0;
    return number;
}

void stop_noted(int number)
{
    noting = 0;
    signal(SIGCHLD, SIG_DFL);
    sigprocmask(SIG_SETMASK, &usual, NULL);
    if (waiting || number)
        end_by(waiting ? waiting : number);
}

void stop_hold(void)
{
    waiting = 0;
    held = 1;
}

bool stop_asked(void)
{
    return waiting;
}

void stop_release(void)
{
    held = 0;
    if (waiting)
        end_by(waiting);
}

int stop_leave(int code)
{
    leaving = true;
    return code;
}

/*
 * stop: signals that end the program. While files are put in place they wait, so that a folder is
 * whole or as it was, and nothing is left beside it. A library that gives up by exit(), as that of
 * OpenMP does without memory, is taken for what it is.
 */
#define _POSIX_C_SOURCE 200809L
#include <cli/cli.h>
#include <cli/stop.h>

#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <unistd.h>

static volatile sig_atomic_t held, noting, waiting; /* a handler has no other way to know */
static bool leaving;

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

static void endings_watch(int flags)
{
    struct sigaction action = {.sa_handler = on_signal, .sa_flags = flags}, before;
    sigfillset(&action.sa_mask);
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++)
        if (sigaction(endings[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN)
            sigaction(endings[i], &action, NULL);
}

void stop_watch(void)
{
    streams_open();
    atexit(on_exit_of_others);
    signal(SIGXFSZ, SIG_IGN); /* the write says so */
    endings_watch(SA_RESTART);
}

void stop_note(void)
{
    waiting = 0;
    noting = 1;
    endings_watch(0);
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
    endings_watch(SA_RESTART);
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

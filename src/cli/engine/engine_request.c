/* request: what is asked, in the command's own options, and the table of these. */
#include <cli/engine/engine_calls.h>

#include <stdlib.h>
#include <string.h>

static nw_status words_read(page *p)
{
    const char *at = p->words.data, *end = at + p->words.length;
    nw_status status = NW_OK;
    while (status == NW_OK && at < end) {
        const char *name = at, *value = name + strlen(name);
        value += value < end; /* the last option may come without its value */
        const cli_option *option = option_find(name, strlen(name));
        at = value + strlen(value) + 1;
        p->fault = name;
        status = option ? option_take(option, value, &p->request, &p->error)
                        : nw_fail(&p->error, NW_BAD_REQUEST, "there is no option '%s'", name);
    }
    if (status == NW_OK)
        p->fault = "";
    return status;
}

/* The options' names and values in turn, "" for switches, each with its NUL. */
int page_request(page *p, const char *words, size_t length)
{
    free(p->request.texts);
    nw_text_free(&p->words);
    p->fault = "";
    p->request = (cli_request){.art = nw_art_defaults(), .job = nw_job_defaults()};
    p->request.art.need_region = false;
    p->request.art.need_last_bits = true;
    p->request.texts = nw_alloc(cli_option_count, sizeof *p->request.texts);
    nw_text_add_bytes(&p->words, words, length);
    if (!p->request.texts || p->words.failed || !p->words.data)
        return (int)nw_fail_memory(&p->error, "the request");
    nw_status status = words_read(p);
    if (status == NW_OK)
        status = cut_check(&p->request, &p->error);
    return (int)(status == NW_OK ? hold_check(&p->request, &p->error) : status);
}

const char *page_fault(const page *p)
{
    return p->fault;
}

/* cut, bit, least neck, whether it was given, blunt, width, height, stock, tabs are wanted. */
const double *page_asked(page *p)
{
    const nw_job *job = &p->request.job;
    nw_fit_options options = nw_job_fit_options(job);
    double asked[] = {job->cut,
                      job->bit,
                      options.neck,
                      job->neck > 0,
                      options.blunt,
                      p->request.art.wide,
                      p->request.art.high,
                      job->stock,
                      job->tabs};
    p->numbers.count = 0;
    nw_page_numbers_add(&p->numbers, asked, sizeof asked / sizeof *asked);
    return p->numbers.items;
}

/* A row of the table, between tabs: name, commands, group, what the argument is called, choices,
 * whether it stays when the art is widened; "" behind the last. */
const char *page_option(page *p, size_t option)
{
    static const char *const groups[GROUP_COUNT] = {
        [GROUP_SIZE] = "size",   [GROUP_INK] = "ink",   [GROUP_CUT] = "cut",
        [GROUP_WIDEN] = "widen", [GROUP_HOLD] = "hold", [GROUP_OUTPUT] = "output",
        [GROUP_RUN] = "run"};
    nw_text_free(&p->text);
    if (option < cli_option_count) {
        const cli_option *o = &cli_options[option];
        /* Not by a format: sixty rows were all that had browsers optimize printf before the art's
         * own code. */
        const char *const words[] = {o->name,
                                     "\t",
                                     o->commands & CHECK ? "check " : "",
                                     o->commands & WIDEN ? "widen " : "",
                                     o->commands & OUTLINE ? "outline" : "",
                                     "\t",
                                     groups[o->group],
                                     "\t",
                                     o->argument ? o->argument : "",
                                     "\t",
                                     o->choices ? o->choices : "",
                                     "\t",
                                     option_outlasts_widening(o) ? "stays" : ""};
        for (size_t i = 0; i < sizeof words / sizeof *words; i++)
            nw_text_add(&p->text, words[i]);
    }
    return nw_text_string(&p->text);
}

/* error: one line of explanation beside a status code. */
#include <base/base.h>

#include <stdarg.h>
#include <stdio.h>

static nw_status fail(nw_error *error, nw_status code, nw_advice advice, const char *format,
                      va_list arguments)
{
    if (!error)
        return code;
    error->code = code;
    error->advice = advice;
    vsnprintf(error->message, sizeof error->message, format, arguments);
    for (char *c = error->message; *c; c++)
        if ((unsigned char)*c < 0x20 || *c == 0x7f)
            *c = '?';
    return code;
}

nw_status nw_fail(nw_error *error, nw_status code, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    nw_status status = fail(error, code, NW_ADVICE_NONE, format, arguments);
    va_end(arguments);
    return status;
}

nw_status nw_fail_advised(nw_error *error, nw_status code, nw_advice advice, const char *format,
                          ...)
{
    va_list arguments;
    va_start(arguments, format);
    nw_status status = fail(error, code, advice, format, arguments);
    va_end(arguments);
    return status;
}

nw_status nw_fail_memory(nw_error *error, const char *what)
{
    return nw_fail(error, NW_NO_MEMORY, "not enough memory for %s", what);
}

const char *nw_status_name(nw_status code)
{
    switch (code) {
    case NW_OK:
        return "ok";
    case NW_BAD_REQUEST:
        return "bad request";
    case NW_BAD_INPUT:
        return "bad input";
    case NW_NO_MEMORY:
        return "not enough memory";
    case NW_CANNOT_READ:
        return "cannot read";
    case NW_CANNOT_WRITE:
        return "cannot write";
    case NW_INTERNAL:
        break;
    }
    return "internal defect";
}

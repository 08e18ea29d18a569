/* One suite of Check tests and its main function's body. */
#ifndef NARROWS_TESTS_H
#define NARROWS_TESTS_H

#include <check.h>
#include <stddef.h>

/* A limit catches what hangs: a busy machine must not fail a test. */
#define TEST_SECONDS 600.0

/* Runs the tests, each in a process of its own; the exit status of the program. */
static inline int tests_run(const char *name, const TTest *const tests[], size_t count)
{
    Suite *suite = suite_create(name);
    TCase *group = tcase_create(name);
    tcase_set_timeout(group, TEST_SECONDS);
    for (size_t i = 0; i < count; i++)
        tcase_add_test(group, tests[i]);
    suite_add_tcase(suite, group);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}

#define TESTS_RUN(name, tests) tests_run(name, tests, sizeof(tests) / sizeof *(tests))

#endif

/* A plugin that does one thing that no plugin may; which one is said with -DFAULT_… when it is built. */
#include "restrand_plugin.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static RestrandStatus say(const RestrandLines *lines, const char *text) {
    RestrandBytes bytes = {(const uint8_t *)text, strlen(text)};
    return lines->take(lines->context, bytes);
}

static RestrandStatus describe(const RestrandLines *lines) {
#if defined(FAULT_DESCRIBE_ABORT)
    abort();
#elif defined(FAULT_DESCRIBE_LONG)
    for (;;) {
        RestrandStatus status = say(lines, "{\"description\":{}}\n");
        if (status != RESTRAND_OK) return status;
    }
#elif defined(FAULT_DESCRIBE_WORDS)
    return say(lines, "{\"description\":{\"id\":\"Not a word\",\"summary\":\"x\",\"reads\":[],\"writes\":[]}}\n");
#endif
    return say(lines, "{\"description\":{\"id\":\"faulty\",\"summary\":\"does what no plugin may\","
                      "\"reads\":[\"faulty\"],\"writes\":[\"faulty\"]}}\n");
}

static RestrandStatus probe(const RestrandPart *parts, size_t count, uint32_t *confidence,
                            const RestrandLines *lines) {
    (void)parts, (void)count, (void)lines;
#if defined(FAULT_PROBE_ABORT)
    abort();
#elif defined(FAULT_PROBE_NUMBER)
    *confidence = 77;
    return RESTRAND_OK;
#endif
    *confidence = RESTRAND_CONFIDENCE_SURE;
    return RESTRAND_OK;
}

#define TABLE "{\"table\":{\"part\":\"a.faulty\",\"list\":\"tendons\"}}\n"
#define RECORD "{\"record\":{\"table\":0,\"span\":[0,1],\"fields\":{\"mark\":\"T1\"}}}\n"

static RestrandStatus load(const RestrandPart *parts, size_t count, const RestrandBudget *budget,
                           const RestrandLines *lines) {
    (void)parts, (void)count, (void)budget;
#if defined(FAULT_ABORT)
    fputs("the plugin gives up\n", stderr);
    abort();
#elif defined(FAULT_SEGV)
    *(volatile int *)8 = 1;
#elif defined(FAULT_EXIT)
    _exit(0);
#elif defined(FAULT_LOOP)
    for (volatile int on = 1; on;) {
    }
#elif defined(FAULT_STACK)
    volatile char room[1 << 16];
    room[0] = 1;
    return load(parts, count, budget, lines) + room[0];
#elif defined(FAULT_MEMORY)
    for (;;) {
        char *all = malloc(64 << 20);
        memset(all, 1, 64 << 20);
    }
#elif defined(FAULT_FLOOD)
    say(lines, TABLE);
    for (long long sent = 0; sent < 10LL * 1000 * 1000 * 1000; sent += (long long)strlen(RECORD)) {
        RestrandStatus status = say(lines, RECORD);
        if (status != RESTRAND_OK) return status;
    }
#elif defined(FAULT_FLOOD_ON)
    for (long long sent = 0; sent < 10LL * 1000 * 1000 * 1000; sent += (long long)strlen(RECORD))
        say(lines, RECORD);
#elif defined(FAULT_LENGTH)
    RestrandBytes bytes = {(const uint8_t *)TABLE, (size_t)1 << 60};
    lines->take(lines->context, bytes);
#elif defined(FAULT_NULL_BYTES)
    RestrandBytes bytes = {NULL, 12};
    lines->take(lines->context, bytes);
#elif defined(FAULT_UTF8)
    say(lines, "{\"table\":{\"part\":\"a\xff\",\"list\":\"tendons\"}}\n");
#elif defined(FAULT_JSON)
    say(lines, "{\"table\":\n");
#elif defined(FAULT_MEMBER)
    say(lines, "{\"table\":{\"part\":\"a.faulty\",\"list\":\"tendons\",\"colour\":1}}\n");
#elif defined(FAULT_LINE)
    say(lines, "{\"table\":{\"part\":\"a.faulty\",\"list\":\"tendons\"}}");
#elif defined(FAULT_DEEP)
    char text[4096] = "{\"record\":{\"table\":0,\"span\":[0,1],\"fields\":{\"x\":";
    memset(text + strlen(text), '[', 2000);
    strcat(text, "\n");
    say(lines, TABLE);
    say(lines, text);
#elif defined(FAULT_ORDER)
    say(lines, RECORD);
#elif defined(FAULT_PLACE)
    say(lines, TABLE);
    say(lines, "{\"record\":{\"table\":0,\"span\":[0,999999],\"fields\":{}}}\n");
#elif defined(FAULT_PART)
    say(lines, "{\"table\":{\"part\":\"another\",\"list\":\"tendons\"}}\n");
#elif defined(FAULT_COUNT)
    say(lines, TABLE RECORD "{\"end\":{\"tables\":1,\"records\":2}}\n");
    return RESTRAND_OK;
#elif defined(FAULT_NO_END)
    say(lines, TABLE RECORD);
    return RESTRAND_OK;
#elif defined(FAULT_AFTER_END)
    say(lines, TABLE RECORD "{\"end\":{\"tables\":1,\"records\":1}}\n" RECORD);
    return RESTRAND_OK;
#elif defined(FAULT_STATUS)
    return 4711;
#elif defined(FAULT_STOPPED)
    return RESTRAND_STOPPED;
#elif defined(FAULT_FILE)
    FILE *file = tmpfile();
    if (file != NULL) {
        fputs("written by a plugin", file);
        fclose(file);
    }
#elif defined(FAULT_PRINT)
    for (int line = 0; line < 200000; line++) {
        printf("noise on standard output, noise on standard output, noise on standard output\n");
        fprintf(stderr, "noise on standard error, noise on standard error, noise on standard error\n");
    }
    fflush(stdout);
#endif
    say(lines, TABLE RECORD "{\"end\":{\"tables\":1,\"records\":1}}\n");
    return RESTRAND_OK;
}

static RestrandStatus write_faulty(RestrandBytes content, const RestrandOutput *output,
                                   const RestrandLines *lines) {
    (void)content, (void)output;
#if defined(FAULT_WRITE_NAME)
    RestrandBytes name = {(const uint8_t *)"\xff", 1}, bytes = {NULL, 0};
    return output->write(output->context, name, bytes);
#elif defined(FAULT_WRITE_FLOOD)
    static const uint8_t page[1 << 20];
    RestrandBytes name = {(const uint8_t *)"a", 1}, bytes = {page, sizeof page};
    for (int count = 0; count < 10000; count++) {
        RestrandStatus status = output->write(output->context, name, bytes);
        if (status != RESTRAND_OK) return status;
    }
#endif
    return say(lines, "{\"end\":{}}\n");
}

static RestrandStatus patch(const RestrandPart *parts, size_t count, RestrandBytes content,
                            const RestrandOutput *output, const RestrandLines *lines) {
    (void)parts, (void)count;
    return write_faulty(content, output, lines);
}

static const RestrandPlugin PLUGIN = {
#if defined(FAULT_MAJOR)
    .abi_major = 99,
#else
    .abi_major = RESTRAND_ABI_MAJOR,
#endif
    .abi_minor = RESTRAND_ABI_MINOR,
#if defined(FAULT_SHORT)
    .struct_size = 24,
#else
    .struct_size = sizeof(RestrandPlugin),
#endif
    .describe = describe,
    .probe = probe,
#if !defined(FAULT_NULL)
    .load = load,
#endif
    .write = write_faulty,
    .patch = patch,
};

#if defined(FAULT_SYMBOL)
const RestrandPlugin *another_symbol(void) { return &PLUGIN; }
#elif defined(FAULT_NOTHING)
const RestrandPlugin *restrand_plugin_v1(void) { (void)PLUGIN; return NULL; }
#else
const RestrandPlugin *restrand_plugin_v1(void) { return &PLUGIN; }
#endif

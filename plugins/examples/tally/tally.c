/* A worked example of a format plugin in C: a tendon on each line, as mark;strands;side. */
#include "restrand_plugin.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char HEAD[] = "tally 1\n";

/* More than any bridge has tendons for. */
enum { LONGEST_FILE = 16 * 1024 * 1024, BATCH = 32 * 1024 };

/* Lines that are gathered, to be handed over together. */
struct lines {
    const RestrandLines *host;
    char *text;
    size_t length, room;
    RestrandStatus status;
};

static void flush(struct lines *lines) {
    if (lines->length > 0 && lines->status == RESTRAND_OK) {
        RestrandBytes bytes = {(const uint8_t *)lines->text, lines->length};
        lines->status = lines->host->take(lines->host->context, bytes);
    }
    lines->length = 0;
}

static void put_bytes(struct lines *lines, const char *bytes, size_t count) {
    if (lines->length + count > lines->room) {
        size_t room = (lines->length + count) * 2;
        char *text = realloc(lines->text, room);
        if (text == NULL) {
            lines->status = RESTRAND_FAILED;
            return;
        }
        lines->text = text;
        lines->room = room;
    }
    memcpy(lines->text + lines->length, bytes, count);
    lines->length += count;
}

static void put(struct lines *lines, const char *text) { put_bytes(lines, text, strlen(text)); }

static void put_number(struct lines *lines, unsigned long long number) {
    char text[24];
    snprintf(text, sizeof text, "%llu", number);
    put(lines, text);
}

/* A text in quotes, as JSON writes it. */
static void put_text(struct lines *lines, const char *text, size_t count) {
    put(lines, "\"");
    for (size_t at = 0; at < count; at++) {
        unsigned char byte = (unsigned char)text[at];
        if (byte == '"' || byte == '\\') {
            put(lines, "\\");
            put_bytes(lines, text + at, 1);
        } else if (byte < 0x20) {
            char escape[8];
            snprintf(escape, sizeof escape, "\\u%04x", byte);
            put(lines, escape);
        } else {
            put_bytes(lines, text + at, 1);
        }
    }
    put(lines, "\"");
}

static void put_part(struct lines *lines, const RestrandPart *part) {
    put(lines, "\"part\":");
    put_text(lines, (const char *)part->name.start, part->name.length);
}

static void put_error(struct lines *lines, const RestrandPart *part, const char *why) {
    put(lines, "{\"error\":{");
    if (part != NULL) {
        put(lines, "\"place\":{");
        put_part(lines, part);
        put(lines, "},");
    }
    put(lines, "\"why\":\"");
    put(lines, why);
    put(lines, "\",\"help\":\"compare it with the example beside the plugin\"}}\n");
    flush(lines);
}

/* Whether bytes are UTF-8, as all that is handed over has to be. */
static bool is_utf8(const char *text, size_t count) {
    for (size_t at = 0; at < count;) {
        unsigned char first = (unsigned char)text[at];
        size_t more = first < 0x80 ? 0 : first >= 0xc2 && first < 0xe0 ? 1 : first >= 0xe0 && first < 0xf0 ? 2 : first >= 0xf0 && first < 0xf5 ? 3 : 4;
        if (more == 4 || more >= count - at) {
            return false;
        }
        for (size_t next = 1; next <= more; next++) {
            if (((unsigned char)text[at + next] & 0xc0) != 0x80) {
                return false;
            }
        }
        unsigned char second = more > 0 ? (unsigned char)text[at + 1] : 0;
        if ((first == 0xe0 && second < 0xa0) || (first == 0xed && second > 0x9f) ||
            (first == 0xf0 && second < 0x90) || (first == 0xf4 && second > 0x8f)) {
            return false;
        }
        at += more + 1;
    }
    return true;
}

/* One line, without its end: a record, or a problem. */
static bool put_line(struct lines *lines, const RestrandPart *part, const char *line, size_t start,
                     size_t count) {
    const char *mark_end = memchr(line, ';', count);
    const char *end = line + count;
    const char *count_end =
        mark_end == NULL ? NULL : memchr(mark_end + 1, ';', (size_t)(end - mark_end - 1));
    bool is_good = is_utf8(line, count) && count_end != NULL && mark_end > line &&
                   count_end > mark_end + 1 && count_end - mark_end <= 5;
    unsigned long strands = 0;
    for (const char *digit = mark_end; is_good && ++digit < count_end;) {
        is_good = *digit >= '0' && *digit <= '9';
        strands = strands * 10 + (unsigned long)(*digit - '0');
    }
    if (!is_good) {
        put(lines, "{\"problem\":{\"kind\":\"record_lost\",\"place\":{");
        put_part(lines, part);
        put(lines, ",\"span\":[");
        put_number(lines, start);
        put(lines, ",");
        put_number(lines, start + count);
        put(lines, "]},\"subject\":\"line\",\"why\":\"it is not mark;strands;side\","
                   "\"help\":\"correct the line\"}}\n");
        return false;
    }
    put(lines, "{\"record\":{\"table\":0,\"span\":[");
    put_number(lines, start);
    put(lines, ",");
    put_number(lines, start + count);
    put(lines, "],\"fields\":{\"mark\":");
    put_text(lines, line, (size_t)(mark_end - line));
    put(lines, ",\"strand_count\":");
    put_number(lines, strands);
    put(lines, ",\"side\":");
    put_text(lines, count_end + 1, (size_t)(end - count_end - 1));
    put(lines, "}}}\n");
    return true;
}

static RestrandStatus describe(const RestrandLines *host) {
    struct lines lines = {.host = host};
    put(&lines, "{\"description\":{\"id\":\"tally\",\"summary\":\"example format: a tendon on each line\","
                "\"reads\":[\"tally\"],\"writes\":[]}}\n");
    flush(&lines);
    free(lines.text);
    return lines.status;
}

/* Reads a stretch of a part as far as it goes. */
static RestrandStatus read_part(const RestrandPart *part, char *buffer, size_t wanted, size_t *got) {
    *got = 0;
    while (*got < wanted) {
        size_t count = 0;
        RestrandStatus status =
            part->read_at(part->context, *got, (uint8_t *)buffer + *got, wanted - *got, &count);
        if (status != RESTRAND_OK) {
            return status;
        }
        if (count == 0) {
            break;
        }
        *got += count;
    }
    return RESTRAND_OK;
}

static RestrandStatus probe(const RestrandPart *parts, size_t count, uint32_t *confidence,
                            const RestrandLines *host) {
    (void)host;
    *confidence = RESTRAND_CONFIDENCE_NO;
    char head[sizeof HEAD - 1];
    size_t got = 0;
    if (count > 0 && read_part(&parts[0], head, sizeof head, &got) == RESTRAND_OK &&
        got == sizeof head && memcmp(head, HEAD, got) == 0) {
        *confidence = RESTRAND_CONFIDENCE_SURE;
    }
    return RESTRAND_OK;
}

static RestrandStatus load_text(struct lines *lines, const RestrandPart *part, const char *text,
                                size_t length) {
    if (length < sizeof HEAD - 1 || memcmp(text, HEAD, sizeof HEAD - 1) != 0) {
        put_error(lines, part, "its first line is not tally 1");
        return RESTRAND_UNREADABLE;
    }
    put(lines, "{\"table\":{");
    put_part(lines, part);
    put(lines, ",\"list\":\"tendons\"}}\n");
    flush(lines);
    unsigned long long records = 0, problems = 0;
    for (size_t start = sizeof HEAD - 1; start < length && lines->status == RESTRAND_OK;) {
        const char *end = memchr(text + start, '\n', length - start);
        size_t count = end == NULL ? length - start : (size_t)(end - text) - start;
        if (count > 0) {
            if (put_line(lines, part, text + start, start, count)) {
                records++;
            } else {
                problems++;
            }
        }
        if (lines->length >= BATCH) {
            flush(lines);
        }
        start += count + 1;
    }
    put(lines, "{\"end\":{\"tables\":1,\"records\":");
    put_number(lines, records);
    put(lines, ",\"problems\":");
    put_number(lines, problems);
    put(lines, "}}\n");
    flush(lines);
    return lines->status;
}

static RestrandStatus load(const RestrandPart *parts, size_t part_count,
                           const RestrandBudget *budget, const RestrandLines *host) {
    (void)budget;
    struct lines lines = {.host = host};
    RestrandStatus status = RESTRAND_FAILED;
    if (part_count == 0) {
        put_error(&lines, NULL, "there is no part");
    } else if (parts[0].length > LONGEST_FILE) {
        put_error(&lines, &parts[0], "it is longer than any tally");
        status = RESTRAND_UNREADABLE;
    } else {
        size_t got = 0;
        char *text = malloc((size_t)parts[0].length + 1);
        if (text != NULL) {
            status = read_part(&parts[0], text, (size_t)parts[0].length, &got);
            if (status == RESTRAND_OK) {
                status = load_text(&lines, &parts[0], text, got);
            }
        } else {
            put_error(&lines, NULL, "there is not enough memory");
        }
        free(text);
    }
    free(lines.text);
    return status;
}

static RestrandStatus refuse(const RestrandLines *host) {
    struct lines lines = {.host = host};
    put_error(&lines, NULL, "a tally is only read");
    free(lines.text);
    return RESTRAND_UNSUPPORTED;
}

static RestrandStatus write_tally(RestrandBytes content, const RestrandOutput *output,
                                  const RestrandLines *host) {
    (void)content, (void)output;
    return refuse(host);
}

static RestrandStatus patch(const RestrandPart *parts, size_t part_count, RestrandBytes content,
                            const RestrandOutput *output, const RestrandLines *host) {
    (void)parts, (void)part_count, (void)content, (void)output;
    return refuse(host);
}

static const RestrandPlugin PLUGIN = {
    .abi_major = RESTRAND_ABI_MAJOR,
    .abi_minor = RESTRAND_ABI_MINOR,
    .struct_size = sizeof(RestrandPlugin),
    .describe = describe,
    .probe = probe,
    .load = load,
    .write = write_tally,
    .patch = patch,
};

const RestrandPlugin *restrand_plugin_v1(void) { return &PLUGIN; }

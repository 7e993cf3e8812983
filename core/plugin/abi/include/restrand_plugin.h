/* The plugin interface of restrand. Generated from core/plugin/abi by `cargo dev generate`.

   A plugin is a library with one symbol, restrand_plugin_v1. What crosses are integers, pointers, lengths and
   callbacks. Texts are UTF-8 with their length. All that a call hands over, in either direction, belongs to who
   made it and is lent for that call only, so that nobody frees what another allocated. DEVELOPERS.md says what
   the lines of JSON hold. */

#ifndef RESTRAND_PLUGIN_H
#define RESTRAND_PLUGIN_H

#include <stddef.h>
#include <stdint.h>

/*
 The number that changes when a plugin made for it no longer fits.
 */
#define RESTRAND_ABI_MAJOR 1

/*
 The number that changes when something is added at the end of a struct.
 */
#define RESTRAND_ABI_MINOR 0

/*
 The parts are not of the plugin's format.
 */
#define RESTRAND_CONFIDENCE_NO 0

/*
 Nothing speaks against it, as the name's ending fits.
 */
#define RESTRAND_CONFIDENCE_PERHAPS 1

/*
 The content shows it.
 */
#define RESTRAND_CONFIDENCE_SURE 2

/*
 Bytes that may be handed over at once, be they lines or of a written part: 64 MiB.
 */
#define RESTRAND_LONGEST_BATCH 67108864

/*
 How a call ended; a number that is not one of `RESTRAND_OK` and the following counts as a failure.
 */
typedef int32_t RestrandStatus;

/*
 Bytes lent for the time of a call; null only where the length is zero.
 */
typedef struct RestrandBytes {
  /*
   The first byte.
   */
  const uint8_t *start;
  /*
   How many there are.
   */
  size_t length;
} RestrandBytes;

/*
 Takes lines of JSON.
 */
typedef struct RestrandLines {
  /*
   The first argument of `take`.
   */
  void *context;
  /*
   Takes whole lines, each ended by a line feed, up to `RESTRAND_LONGEST_BATCH` bytes at once.

   To be called by the thread in which the plugin itself was called.
   Returns `RESTRAND_OK`, or `RESTRAND_STOPPED` if no more is wanted.
   */
  RestrandStatus (*take)(void *context, struct RestrandBytes lines);
} RestrandLines;

/*
 A named part of the input, to be read from any position.
 */
typedef struct RestrandPart {
  /*
   The name, as a file name, in UTF-8.
   */
  struct RestrandBytes name;
  /*
   The length in bytes.
   */
  uint64_t length;
  /*
   All bytes, if they are in memory already; else null and zero.
   */
  struct RestrandBytes slice;
  /*
   The first argument of `read_at`.
   */
  void *context;
  /*
   Reads up to `capacity` bytes from `offset` on and says in `count` how many; none only at the end.

   May be called from any thread until the plugin's call returns, also from several at once.
   Returns `RESTRAND_OK` or `RESTRAND_MEDIUM`.
   */
  RestrandStatus (*read_at)(void *context,
                            uint64_t offset,
                            uint8_t *buffer,
                            size_t capacity,
                            size_t *count);
} RestrandPart;

/*
 What a reading may cost.
 */
typedef struct RestrandBudget {
  /*
   Bytes that compressed content may have unpacked.
   */
  uint64_t unpacked_bytes;
  /*
   Levels of nesting.
   */
  uint32_t depth;
} RestrandBudget;

/*
 Takes written parts.
 */
typedef struct RestrandOutput {
  /*
   The first argument of `write`.
   */
  void *context;
  /*
   Adds bytes at the end of the part of this name; no bytes make an empty part.

   To be called by the thread in which the plugin itself was called. Returns `RESTRAND_OK` or `RESTRAND_MEDIUM`.
   */
  RestrandStatus (*write)(void *context, struct RestrandBytes name, struct RestrandBytes bytes);
} RestrandOutput;

/*
 A plugin: what the library's one symbol leads to.

 The first three members never change their place.
 Any of the functions may be called from any thread, also from several at once, and in any order.
 No function lets an exception or a panic pass, opens a file, reads the environment or prints.
 */
typedef struct RestrandPlugin {
  /*
   `RESTRAND_ABI_MAJOR` as the plugin was made.
   */
  uint32_t abi_major;
  /*
   `RESTRAND_ABI_MINOR` as the plugin was made.
   */
  uint32_t abi_minor;
  /*
   The size of this struct in bytes as the plugin was made.
   */
  size_t struct_size;
  /*
   Gives one `description` line.
   */
  RestrandStatus (*describe)(const struct RestrandLines *lines);
  /*
   Looks at the parts, at as little of them as tells the format; sets one of `RESTRAND_CONFIDENCE_*`.
   */
  RestrandStatus (*probe)(const struct RestrandPart *parts,
                          size_t part_count,
                          uint32_t *confidence,
                          const struct RestrandLines *lines);
  /*
   Reads the parts into `table`, `record` and `problem` lines, with an `end` line after the last.
   */
  RestrandStatus (*load)(const struct RestrandPart *parts,
                         size_t part_count,
                         const struct RestrandBudget *budget,
                         const struct RestrandLines *lines);
  /*
   Writes a content, and gives a `loss` line for each value it could not carry and an `end` line.
   */
  RestrandStatus (*write)(struct RestrandBytes content,
                          const struct RestrandOutput *output,
                          const struct RestrandLines *lines);
  /*
   Writes the parts again with the changes of a content in them, and leaves everything else of them as it
   is; gives lines as `write` does.
   */
  RestrandStatus (*patch)(const struct RestrandPart *parts,
                          size_t part_count,
                          struct RestrandBytes content,
                          const struct RestrandOutput *output,
                          const struct RestrandLines *lines);
} RestrandPlugin;

/*
 All went well.
 */
#define RESTRAND_OK 0

/*
 The taker of lines wants no more; the plugin ends its call and passes this on.
 */
#define RESTRAND_STOPPED 1

/*
 The parts as a whole cannot be read; an `error` line says where, why and what to do.
 */
#define RESTRAND_UNREADABLE 2

/*
 The plugin cannot do this; an `error` line says why.
 */
#define RESTRAND_UNSUPPORTED 3

/*
 Reading or writing a part failed on the host's side; the plugin ends its call and passes this on.
 */
#define RESTRAND_MEDIUM 4

/*
 The plugin itself failed; an `error` line says what it knows.
 */
#define RESTRAND_FAILED 5

/*
 The host called with what cannot be: a null pointer, or content that is not as agreed.
 */
#define RESTRAND_BAD_CALL 6

#endif  /* RESTRAND_PLUGIN_H */

/* The one symbol of a plugin. What it returns is never freed and never changes; a library is never unloaded. */
#if defined(_WIN32)
__declspec(dllexport)
#endif
const RestrandPlugin *restrand_plugin_v1(void);

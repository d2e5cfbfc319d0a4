/*
 * Stands between a process and the C library (LD_PRELOAD) and lets the calls that change the files of a
 * folder go wrong, one by one, as a shared page of memory says: Calls.java maps the same page.
 *
 * The page has slots, so that several lives in one process have faults of their own. A slot names the
 * beginning of the paths that it is about. Armed to fail, it lets the n-th call of the asked kinds fail, or
 * that and all later ones. Armed to copy, it copies the folder above before each call: what a process that
 * is killed there leaves behind.
 */
#define _GNU_SOURCE
#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

enum { SLOTS = 16, FILES = 65536, PATH = 400 };
enum { WRITE = 1, SYNC = 2, OPEN = 4, TRUNCATE = 8, UNLINK = 16, RENAME = 32, MKDIR = 64 };
enum { OFF = 0, FAIL = 1, COPY = 2 };
/* Faults that are no error numbers. */
enum { HALF = -1, DROPPED = -2 };

struct slot {
  int64_t armed, kinds, nth, onward, fault, calls, struck, heard;
  char prefix[PATH], copies[PATH];
  char rest[1024 - 8 * 8 - 2 * PATH];
};

static struct slot *slots;
static signed char slot_of[FILES];
static pthread_mutex_t copying = PTHREAD_MUTEX_INITIALIZER;
static __thread int inside;

#define REAL(type, name, args) \
  static type(*real) args;     \
  if (!real) real = (type(*) args)dlsym(RTLD_NEXT, #name)

__attribute__((constructor)) static void map_page(void) {
  const char *path = getenv("BOREWARDEN_CALLS");
  int fd = path ? open(path, O_RDWR) : -1;
  if (fd >= 0) {
    void *page = mmap(0, SLOTS * sizeof(struct slot), PROT_READ | PROT_WRITE, MAP_SHARED, fd, 0);
    slots = page == MAP_FAILED ? 0 : page;
    close(fd);
  }
}

static struct slot *of_path(const char *path) {
  if (!slots || !path || inside) return 0;
  for (int i = 0; i < SLOTS; i++) {
    size_t length = strnlen(slots[i].prefix, PATH);
    if (length && !strncmp(path, slots[i].prefix, length)) return &slots[i];
  }
  return 0;
}

static struct slot *of_fd(int fd) {
  return slots && !inside && fd >= 0 && fd < FILES && slot_of[fd] ? &slots[slot_of[fd] - 1] : 0;
}

static void copy_file(const char *from, const char *to) {
  char bytes[65536];
  int in = open(from, O_RDONLY), out = open(to, O_WRONLY | O_CREAT | O_TRUNC, 0600);
  if (in < 0 || out < 0) abort();
  for (ssize_t n = read(in, bytes, sizeof bytes); n > 0; n = read(in, bytes, sizeof bytes))
    if (write(out, bytes, n) != n) abort();
  close(in);
  close(out);
}

static void copy_folder(const char *from, const char *to) {
  mkdir(to, 0700);
  DIR *listed = opendir(from);
  if (!listed) abort();
  for (struct dirent *each = readdir(listed); each; each = readdir(listed)) {
    char a[2 * PATH], b[2 * PATH];
    if (!strcmp(each->d_name, ".") || !strcmp(each->d_name, "..")) continue;
    snprintf(a, sizeof a, "%s/%s", from, each->d_name);
    snprintf(b, sizeof b, "%s/%s", to, each->d_name);
    each->d_type == DT_DIR ? copy_folder(a, b) : copy_file(a, b);
  }
  closedir(listed);
}

static void copy_now(struct slot *slot, int kind) {
  char from[PATH], to[2 * PATH];
  snprintf(from, sizeof from, "%s", slot->prefix);
  *strrchr(from, '/') = 0;
  snprintf(to, sizeof to, "%s/%06ld-%d-%ld", slot->copies, (long)slot->calls, kind, (long)slot->heard);
  copy_folder(from, to);
}

/* 0: let it through; else the fault. */
static int64_t fault(struct slot *slot, int kind) {
  if (!slot || slot->armed == OFF || !(slot->kinds & kind)) return 0;
  if (slot->armed == COPY) {
    pthread_mutex_lock(&copying);
    inside = 1;
    slot->calls++;
    copy_now(slot, kind);
    inside = 0;
    pthread_mutex_unlock(&copying);
    return 0;
  }
  int64_t n = __atomic_add_fetch(&slot->calls, 1, __ATOMIC_SEQ_CST);
  if (n != slot->nth && !(slot->onward && n > slot->nth)) return 0;
  __atomic_add_fetch(&slot->struck, 1, __ATOMIC_SEQ_CST);
  return slot->fault;
}

#define FAIL_IF_STRUCK(slot, kind)       \
  int64_t struck = fault(slot, kind);    \
  if (struck == DROPPED) return 0;       \
  if (struck > 0) {                      \
    errno = (int)struck;                 \
    return -1;                           \
  }

static int opened(int fd, struct slot *slot) {
  if (fd >= 0 && fd < FILES) slot_of[fd] = slot ? (signed char)(slot - slots + 1) : 0;
  return fd;
}

#define MODE                             \
  int mode = 0;                          \
  if (flags & (O_CREAT | O_TMPFILE)) {   \
    va_list more;                        \
    va_start(more, flags);               \
    mode = va_arg(more, int);            \
    va_end(more);                        \
  }

#define OPEN_LIKE(name)                                    \
  int name(const char *path, int flags, ...) {             \
    REAL(int, name, (const char *, int, ...));             \
    MODE struct slot *slot = of_path(path);                \
    FAIL_IF_STRUCK(slot, OPEN)                             \
    return opened(real(path, flags, mode), slot);          \
  }

#define OPENAT_LIKE(name)                                  \
  int name(int at, const char *path, int flags, ...) {     \
    REAL(int, name, (int, const char *, int, ...));        \
    MODE struct slot *slot = of_path(path);                \
    FAIL_IF_STRUCK(slot, OPEN)                             \
    return opened(real(at, path, flags, mode), slot);      \
  }

OPEN_LIKE(open)
OPEN_LIKE(open64)
OPENAT_LIKE(openat)
OPENAT_LIKE(openat64)

int close(int fd) {
  REAL(int, close, (int));
  if (fd >= 0 && fd < FILES && !inside) slot_of[fd] = 0;
  return real(fd);
}

static size_t less(int64_t struck, size_t count) {
  return struck == HALF && count > 1 ? count / 2 : count;
}

/* By a write of one byte SQLite makes room in a mapped file: without it the process is killed. */
#define WRITE_STRUCK(fd, count)                    \
  int64_t struck = fault(of_fd(fd), WRITE);        \
  if (struck == DROPPED && count > 1)              \
    return (ssize_t)count;                         \
  if (struck > 0) {                                \
    errno = (int)struck;                           \
    return -1;                                     \
  }

ssize_t write(int fd, const void *bytes, size_t count) {
  REAL(ssize_t, write, (int, const void *, size_t));
  WRITE_STRUCK(fd, count)
  return real(fd, bytes, less(struck, count));
}

#define PWRITE_LIKE(name, offset_type)                                       \
  ssize_t name(int fd, const void *bytes, size_t count, offset_type at) {    \
    REAL(ssize_t, name, (int, const void *, size_t, offset_type));           \
    WRITE_STRUCK(fd, count)                                                  \
    return real(fd, bytes, less(struck, count), at);                         \
  }

PWRITE_LIKE(pwrite, off_t)
PWRITE_LIKE(pwrite64, off64_t)

#define ON_FD(name, kind, parameters, arguments)  \
  int name parameters {                           \
    REAL(int, name, parameters);                  \
    FAIL_IF_STRUCK(of_fd(fd), kind)               \
    return real arguments;                        \
  }

ON_FD(fsync, SYNC, (int fd), (fd))
ON_FD(fdatasync, SYNC, (int fd), (fd))
ON_FD(ftruncate, TRUNCATE, (int fd, off_t length), (fd, length))
ON_FD(ftruncate64, TRUNCATE, (int fd, off64_t length), (fd, length))

#define ON_PATH(name, kind, parameters, arguments)  \
  int name parameters {                             \
    REAL(int, name, parameters);                    \
    FAIL_IF_STRUCK(of_path(path), kind)             \
    return real arguments;                          \
  }

ON_PATH(unlink, UNLINK, (const char *path), (path))
ON_PATH(unlinkat, UNLINK, (int at, const char *path, int flags), (at, path, flags))
ON_PATH(rename, RENAME, (const char *path, const char *to), (path, to))
ON_PATH(renameat, RENAME, (int at, const char *path, int other, const char *to), (at, path, other, to))
ON_PATH(mkdir, MKDIR, (const char *path, mode_t mode), (path, mode))

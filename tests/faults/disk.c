/* Stands between a program and the C library, as a disk that is watched or that fails.
 *
 * Loaded by LD_PRELOAD it lets every call pass. A program that calls `disk_watch` has each change below a folder
 * written to a log, with its data, and each line that it says. One that calls `disk_fail` has a call fail there.
 *
 * A record of the log is a line "KIND INODE OFFSET LENGTH" and LENGTH bytes:
 *   w data written   t cut to OFFSET   c file made   d folder made   l one more name   r renamed, "old\nnew"
 *   u name taken away   s flushed   a said on standard output
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))
#define SHORT_WRITE (-1)

static char folder[PATH_MAX];
static int book_log = -1, deaf, counting;
static pthread_mutex_t turn = PTHREAD_MUTEX_INITIALIZER;

static char fail_call[16];
static int fail_number, fail_error, fail_forever;

static struct { const char *call; int made; } counted[16]; /* since `disk_fail`, of each name that `failing` is asked */

/* Watch this folder (absolute, without links) and write what happens to `log`; -1 writes nothing. */
void disk_watch(const char *path, int log) { snprintf(folder, sizeof folder, "%s", path); book_log = log; }

/* A disk that says "flushed" and keeps all of it in its memory. */
void disk_deaf(void) { deaf = 1; }

/* The `number`-th call of this name fails with `error`, and every later one where `forever`. */
void disk_fail(const char *call, int number, int error, int forever) {
    snprintf(fail_call, sizeof fail_call, "%s", call);
    fail_number = number; fail_error = error; fail_forever = forever; counting = 1;
    memset(counted, 0, sizeof counted);
}

/* How often a call was made since. */
int disk_made(const char *call) {
    for (int i = 0; counted[i].call; i++) if (!strcmp(counted[i].call, call)) return counted[i].made;
    return 0;
}

static int below(const char *path) {
    size_t length = strlen(folder);
    return length && !strncmp(path, folder, length) && (path[length] == '/' || !path[length]);
}

/* The path with the links of its folder resolved; its last name may be missing. */
static const char *whole(int at, const char *path, char *into) {
    char start[PATH_MAX] = ".", joined[2 * PATH_MAX], parent[PATH_MAX];
    if (at != AT_FDCWD) {
        char link[64];
        snprintf(link, sizeof link, "/proc/self/fd/%d", at);
        ssize_t length = readlink(link, start, sizeof start - 1);
        start[length > 0 ? length : 0] = 0;
    }
    if (path[0] == '/') snprintf(joined, sizeof joined, "%s", path);
    else snprintf(joined, sizeof joined, "%s/%s", start, path);
    char *name = strrchr(joined, '/');
    *name++ = 0;
    if (!realpath(joined[0] ? joined : "/", parent)) { into[0] = 0; return into; }
    snprintf(into, PATH_MAX, "%.*s/%.*s", PATH_MAX / 2, parent, PATH_MAX / 2 - 2, name);
    return into;
}

static int watched(int fd) {
    char link[64], path[PATH_MAX];
    if (!folder[0] || fd == book_log) return 0;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length <= 0) return 0;
    path[length] = 0;
    return below(path);
}

static int failing(const char *call) {
    int i = 0;
    if (!counting) return 0;
    while (counted[i].call && strcmp(counted[i].call, call)) i++;
    counted[i].call = call;
    int made = ++counted[i].made;
    if (strcmp(call, fail_call)) return 0;
    if (made != fail_number && !(fail_forever && made > fail_number)) return 0;
    if (fail_error != SHORT_WRITE) errno = fail_error;
    return fail_error;
}

static unsigned long inode_at(const char *path) {
    struct stat is;
    return lstat(path, &is) ? 0 : (unsigned long)is.st_ino;
}

static unsigned long inode_of(int fd) {
    struct stat is;
    return fstat(fd, &is) ? 0 : (unsigned long)is.st_ino;
}

static void put(const void *data, size_t length) {
    for (size_t done = 0; done < length;) {
        ssize_t now = REAL(write)(book_log, (const char *)data + done, length - done);
        if (now < 0) abort();
        done += (size_t)now;
    }
}

static void note(char kind, unsigned long inode, long offset, const void *data, size_t length) {
    char line[128];
    if (book_log < 0) return;
    put(line, (size_t)snprintf(line, sizeof line, "%c %lu %ld %zu\n", kind, inode, offset, length));
    put(data, length);
}

static void note_name(char kind, const char *path) { note(kind, inode_at(path), 0, path, strlen(path)); }

static ssize_t writing(int fd, const void *data, size_t length, off_t at) {
    int here = watched(fd), fault = here ? failing("write") : 0;
    if (fault > 0) return -1;
    if (fault == SHORT_WRITE && length > 1) length /= 2;
    pthread_mutex_lock(&turn);
    off_t start = at >= 0 ? at : lseek(fd, 0, fcntl(fd, F_GETFL) & O_APPEND ? SEEK_END : SEEK_CUR);
    ssize_t done = at >= 0 ? REAL(pwrite)(fd, data, length, at) : REAL(write)(fd, data, length);
    int error = errno;
    if (done > 0 && here) note('w', inode_of(fd), start, data, (size_t)done);
    if (done > 0 && fd == STDOUT_FILENO) note('a', 0, 0, data, (size_t)done);
    pthread_mutex_unlock(&turn);
    errno = error;
    return done;
}

ssize_t write(int fd, const void *data, size_t length) { return writing(fd, data, length, -1); }
ssize_t pwrite(int fd, const void *data, size_t length, off_t at) { return writing(fd, data, length, at); }
ssize_t pwrite64(int fd, const void *data, size_t length, off_t at) { return writing(fd, data, length, at); }

ssize_t pread64(int fd, void *data, size_t length, off_t at) {
    return watched(fd) && failing("read") ? -1 : REAL(pread64)(fd, data, length, at);
}
ssize_t pread(int fd, void *data, size_t length, off_t at) { return pread64(fd, data, length, at); }
ssize_t read(int fd, void *data, size_t length) {
    return watched(fd) && failing("read") ? -1 : REAL(read)(fd, data, length);
}

static int cut(int fd, off_t size) {
    int here = watched(fd);
    if (here && failing("ftruncate")) return -1;
    pthread_mutex_lock(&turn);
    int done = REAL(ftruncate)(fd, size);
    if (!done && here) note('t', inode_of(fd), size, "", 0);
    pthread_mutex_unlock(&turn);
    return done;
}
int ftruncate(int fd, off_t size) { return cut(fd, size); }
int ftruncate64(int fd, off_t size) { return cut(fd, size); }

static int flush(int fd, int (*real)(int)) {
    int here = watched(fd);
    if (here && failing("fsync")) return -1;
    pthread_mutex_lock(&turn);
    int done = real(fd);
    if (!done && here && !deaf) note('s', inode_of(fd), 0, "", 0);
    pthread_mutex_unlock(&turn);
    return done;
}
int fsync(int fd) { return flush(fd, REAL(fsync)); }
int fdatasync(int fd) { return flush(fd, REAL(fdatasync)); }

static int opened(int at, const char *path, int flags, mode_t mode) {
    char place[PATH_MAX];
    int here = folder[0] && below(whole(at, path, place));
    if (here && failing("open")) return -1;
    pthread_mutex_lock(&turn);
    int fresh = here && (flags & O_CREAT) && !inode_at(place);
    int fd = REAL(openat)(at, path, flags, mode);
    int error = errno;
    if (fd >= 0 && fresh) note_name('c', place);
    else if (fd >= 0 && here && flags & O_TRUNC) note('t', inode_of(fd), 0, "", 0);
    pthread_mutex_unlock(&turn);
    errno = error;
    return fd;
}

#define WITH_MODE(flags) \
    mode_t mode = 0; \
    if (flags & (O_CREAT | O_TMPFILE)) { va_list more; va_start(more, flags); mode = va_arg(more, mode_t); va_end(more); }
int open(const char *path, int flags, ...) { WITH_MODE(flags) return opened(AT_FDCWD, path, flags, mode); }
int open64(const char *path, int flags, ...) { WITH_MODE(flags) return opened(AT_FDCWD, path, flags, mode); }
int openat(int at, const char *path, int flags, ...) { WITH_MODE(flags) return opened(at, path, flags, mode); }
int openat64(int at, const char *path, int flags, ...) { WITH_MODE(flags) return opened(at, path, flags, mode); }

int unlinkat(int at, const char *path, int flags) {
    char place[PATH_MAX];
    int here = folder[0] && below(whole(at, path, place));
    if (here && failing("unlink")) return -1;
    pthread_mutex_lock(&turn);
    int done = REAL(unlinkat)(at, path, flags);
    if (!done && here) note('u', 0, 0, place, strlen(place));
    pthread_mutex_unlock(&turn);
    return done;
}
int unlink(const char *path) { return unlinkat(AT_FDCWD, path, 0); }
int rmdir(const char *path) { return unlinkat(AT_FDCWD, path, AT_REMOVEDIR); }

int renameat(int old_at, const char *old, int new_at, const char *new) {
    char from[PATH_MAX], to[PATH_MAX], both[2 * PATH_MAX];
    int here = folder[0] && below(whole(new_at, new, to));
    if (here && failing("rename")) return -1;
    whole(old_at, old, from);
    pthread_mutex_lock(&turn);
    int done = REAL(renameat)(old_at, old, new_at, new);
    if (!done && here) note('r', inode_at(to), 0, both, (size_t)snprintf(both, sizeof both, "%s\n%s", from, to));
    pthread_mutex_unlock(&turn);
    return done;
}
int rename(const char *old, const char *new) { return renameat(AT_FDCWD, old, AT_FDCWD, new); }

int linkat(int old_at, const char *old, int new_at, const char *new, int flags) {
    char place[PATH_MAX];
    int here = folder[0] && below(whole(new_at, new, place));
    if (here && failing("link")) return -1;
    pthread_mutex_lock(&turn);
    int done = REAL(linkat)(old_at, old, new_at, new, flags);
    if (!done && here) note_name('l', place);
    pthread_mutex_unlock(&turn);
    return done;
}
int link(const char *old, const char *new) { return linkat(AT_FDCWD, old, AT_FDCWD, new, 0); }

int mkdirat(int at, const char *path, mode_t mode) {
    char place[PATH_MAX];
    int here = folder[0] && below(whole(at, path, place));
    if (here && failing("mkdir")) return -1;
    pthread_mutex_lock(&turn);
    int done = REAL(mkdirat)(at, path, mode);
    if (!done && here) note_name('d', place);
    pthread_mutex_unlock(&turn);
    return done;
}
int mkdir(const char *path, mode_t mode) { return mkdirat(AT_FDCWD, path, mode); }

/* Python copies files by these where it can; without them it reads and writes, which is seen above. */
ssize_t sendfile(int to, int from, off_t *at, size_t length) {
    (void)to, (void)from, (void)at, (void)length;
    errno = ENOTSOCK;
    return -1;
}
ssize_t sendfile64(int to, int from, off_t *at, size_t length) { return sendfile(to, from, at, length); }
ssize_t copy_file_range(int from, off_t *from_at, int to, off_t *to_at, size_t length, unsigned flags) {
    (void)from, (void)from_at, (void)to, (void)to_at, (void)length, (void)flags;
    errno = ENOSYS;
    return -1;
}

// SPDX-License-Identifier: MIT
#include <algorithm>
#include <atomic>
#include <cerrno>
#include <climits>
#include <cstdlib>
#include <filesystem>
#include <optional>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "engine/io/files.h"

namespace spanwright::io {

namespace {

using What = IoError::What;

/// An open file that closes itself.
class Descriptor {
public:
    explicit Descriptor(int fd) : m_fd(fd) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() { close(); }
    [[nodiscard]] int get() const { return m_fd; }
    [[nodiscard]] bool valid() const { return m_fd >= 0; }
    /// 0 or the error number.
    int close() {
        if (m_fd < 0) return 0;
        const int result = ::close(m_fd);
        m_fd = -1;
        return result == 0 ? 0 : errno;
    }

private:
    int m_fd;
};

IoError fromErrno(int number, const std::string& path, bool writing) {
    switch (number) {
    case ENOENT: return {What::NotFound, path, writing ? "no such folder" : "no such file"};
    case ENOTDIR: return {What::NotFound, path, "a part of the path is no folder"};
    case EISDIR: return {What::IsFolder, path, "it is a folder"};
    case EACCES:
    case EPERM:
        return writing ? IoError{What::NotWritable, path, "no permission to write there"} : IoError{What::NotReadable, path, "no permission to read it"};
    case EROFS: return {What::NotWritable, path, "the disk is read-only"};
    case ENOSPC:
    case EDQUOT: return {What::NoSpace, path, "no space left"};
    case EFBIG: return {What::NoSpace, path, "the file would be larger than allowed here"};
    case ELOOP: return {What::NotReadable, path, "its links lead in a ring"};
    case ENAMETOOLONG: return {What::Other, path, "the name is too long"};
    case EMFILE:
    case ENFILE: return {What::Other, path, "too many files are open"};
    default: return {What::Other, path, "the system reports error number " + std::to_string(number)};
    }
}

std::optional<IoError> notRegular(const struct stat& info, const std::string& path) {
    if (S_ISREG(info.st_mode)) return std::nullopt;
    if (S_ISDIR(info.st_mode)) return IoError{What::IsFolder, path, "it is a folder"};
    return IoError{What::NotReadable, path, "it is no ordinary file"};
}

/// Where a write to `path` ends up: links followed, also one that leads to a file that is not there yet.
base::Result<std::string, IoError> target(const std::string& path) {
    std::string at = path;
    for (int hops = 0; hops < 40; ++hops) {
        struct stat info {};
        if (::lstat(at.c_str(), &info) != 0) {
            if (errno == ENOENT) return at;
            return base::Failure{fromErrno(errno, path, true)};
        }
        if (!S_ISLNK(info.st_mode)) return at;
        std::string goal(PATH_MAX, '\0');
        const ssize_t length = ::readlink(at.c_str(), goal.data(), goal.size());
        if (length < 0) return base::Failure{fromErrno(errno, path, true)};
        goal.resize(static_cast<std::size_t>(length));
        if (!goal.empty() && goal.front() == '/') {
            at = goal;
        } else {
            const std::string folder = folderOf(at);
            at = folder.empty() ? goal : (folder == "/" ? folder + goal : folder + "/" + goal);
        }
    }
    return base::Failure{IoError{What::NotWritable, path, "its links lead in a ring"}};
}

/// 0 or the error number.
int writeAll(int fd, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t n = ::write(fd, bytes.data(), bytes.size());
        if (n < 0) {
            if (errno == EINTR) continue;
            return errno;
        }
        if (n == 0) return ENOSPC;
        bytes.remove_prefix(static_cast<std::size_t>(n));
    }
    return 0;
}

/// A new file in `folder` under a name nobody uses; sets `name`.
int openBeside(const std::string& folder, mode_t mode, std::string& name) {
    static std::atomic<unsigned> count{0};
    for (int attempt = 0; attempt < 1000; ++attempt) {
        name = (folder.empty() ? std::string(".") : folder) + "/.spanwright-" + std::to_string(::getpid()) + "-" + std::to_string(count++) + ".tmp";
        const int fd = ::open(name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, mode);
        if (fd >= 0 || errno != EEXIST) return fd;
    }
    return -1;
}

} // namespace

base::Result<std::string, IoError> Disk::read(const std::string& path) const {
    // Asked before opening: opening a device may already do something.
    struct stat info {};
    if (::stat(path.c_str(), &info) != 0) return base::Failure{fromErrno(errno, path, false)};
    if (auto wrong = notRegular(info, path)) return base::Failure{*std::move(wrong)};
    Descriptor file(::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC));
    if (!file.valid()) return base::Failure{fromErrno(errno, path, false)};
    // And again of what was opened: the name may have been given to something else meanwhile.
    if (::fstat(file.get(), &info) != 0) return base::Failure{fromErrno(errno, path, false)};
    if (auto wrong = notRegular(info, path)) return base::Failure{*std::move(wrong)};
    const IoError tooLarge{What::TooLarge, path, "larger than 64 MiB"};
    if (static_cast<std::uintmax_t>(info.st_size) > kMaxFileBytes) return base::Failure{tooLarge};
    std::string bytes(static_cast<std::size_t>(info.st_size) + 1, '\0'); // one more, to see whether it grew
    std::size_t have = 0;
    for (;;) {
        if (have == bytes.size()) {
            if (have > kMaxFileBytes) return base::Failure{tooLarge};
            bytes.resize(bytes.size() * 2);
        }
        const ssize_t n = ::read(file.get(), bytes.data() + have, bytes.size() - have);
        if (n < 0) {
            if (errno == EINTR) continue;
            return base::Failure{fromErrno(errno, path, false)};
        }
        if (n == 0) break;
        have += static_cast<std::size_t>(n);
    }
    if (have > kMaxFileBytes) return base::Failure{tooLarge};
    bytes.resize(have);
    return bytes;
}

base::Result<bool, IoError> Disk::write(const std::string& path, std::string_view bytes) {
    if (bytes.size() > kMaxFileBytes) return base::Failure{IoError{What::TooLarge, path, "larger than 64 MiB"}};
    base::Result<std::string, IoError> resolved = target(path);
    if (!resolved.ok()) return base::Failure{std::move(resolved).error()};
    const std::string& goal = resolved.value();

    struct stat old {};
    bool exists = true;
    if (::lstat(goal.c_str(), &old) != 0) {
        if (errno != ENOENT) return base::Failure{fromErrno(errno, path, true)};
        exists = false;
    } else {
        if (auto wrong = notRegular(old, path))
            return base::Failure{IoError{wrong->what == What::IsFolder ? What::IsFolder : What::NotWritable, path, wrong->message}};
        // A rename would get round the file's own write protection.
        if (::access(goal.c_str(), W_OK) != 0) return base::Failure{fromErrno(errno, path, true)};
    }

    const std::string folder = folderOf(goal);
    std::string beside;
    Descriptor file(openBeside(folder, 0666, beside));
    if (!file.valid()) {
        IoError e = fromErrno(errno, path, true);
        if (e.what == What::NotWritable && errno != EROFS) e.message = "the folder is read-only";
        return base::Failure{std::move(e)};
    }
    const auto giveUp = [&](int number) {
        file.close();
        ::unlink(beside.c_str());
        return base::Failure{fromErrno(number, path, true)};
    };
    if (const int failed = writeAll(file.get(), bytes); failed != 0) return giveUp(failed);
    if (exists) {
        // The owner is kept where the system lets us; the mode must be. Mode last: chown may clear bits of it.
        if (old.st_uid != ::geteuid() || old.st_gid != ::getegid()) {
            if (::fchown(file.get(), old.st_uid, old.st_gid) != 0 && errno != EPERM && errno != EINVAL) return giveUp(errno);
        }
        if (::fchmod(file.get(), old.st_mode & 07777U) != 0) return giveUp(errno);
    }
    while (::fsync(file.get()) != 0)
        if (errno != EINTR) return giveUp(errno);
    if (const int failed = file.close(); failed != 0) return giveUp(failed);
    if (::rename(beside.c_str(), goal.c_str()) != 0) return giveUp(errno);

    // The new file is in place. Should the folder's own record not reach the disk before a power cut, the old
    // file is back, whole: no reason to report a failure.
    Descriptor dir(::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (dir.valid()) ::fsync(dir.get());
    return true;
}

bool Disk::exists(const std::string& path) const {
    struct stat info {};
    return ::stat(path.c_str(), &info) == 0;
}

std::vector<std::string> Disk::list(const std::string& folder) const {
    namespace fs = std::filesystem;
    std::vector<std::string> out;
    const std::string root = folder.empty() ? "." : folder;
    std::error_code failed;
    fs::recursive_directory_iterator it(root, fs::directory_options::skip_permission_denied, failed);
    for (const fs::recursive_directory_iterator end; !failed && it != end && out.size() < kMaxListed; it.increment(failed)) {
        std::error_code odd;
        if (!it->is_regular_file(odd) || odd) continue; // follows a link to a file
        if (it->is_symlink(odd) && !isBelow(root, it->path().string())) continue;
        out.push_back(it->path().lexically_relative(root).generic_string());
    }
    std::sort(out.begin(), out.end());
    return out;
}

} // namespace spanwright::io

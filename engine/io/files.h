// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "engine/base/result.h"

namespace spanwright::io {

struct IoError {
    enum class What { NotFound, NotReadable, IsFolder, TooLarge, NotWritable, NoSpace, Outside, Other };
    What what = What::Other;
    std::string path;
    std::string message; ///< "no such file", "read-only folder" ... in our words
};

inline constexpr std::size_t kMaxFileBytes = 64U << 20U;
inline constexpr std::size_t kMaxListed = 100'000; ///< files that list() of a folder on disk gives at most

/// Where bytes come from and go to. Tests use Memory.
class Files {
public:
    virtual ~Files() = default;
    [[nodiscard]] virtual base::Result<std::string, IoError> read(const std::string& path) const = 0;
    /// All or nothing: writes beside the file, flushes to the disk, then renames over it, keeping its mode;
    /// a symbolic link is written through. On any error the old file stands untouched and nothing is left beside it.
    [[nodiscard]] virtual base::Result<bool, IoError> write(const std::string& path, std::string_view bytes) = 0;
    [[nodiscard]] virtual bool exists(const std::string& path) const = 0;
    /// Names of files below a folder (relative, '/' between), sorted; not following links out of it.
    [[nodiscard]] virtual std::vector<std::string> list(const std::string& folder) const = 0;
};

class Disk final : public Files {
public:
    [[nodiscard]] base::Result<std::string, IoError> read(const std::string& path) const override;
    [[nodiscard]] base::Result<bool, IoError> write(const std::string& path, std::string_view bytes) override;
    [[nodiscard]] bool exists(const std::string& path) const override;
    [[nodiscard]] std::vector<std::string> list(const std::string& folder) const override;
};

class Memory final : public Files {
public:
    std::map<std::string, std::string> files;
    bool readOnly = false;
    std::size_t capacity = static_cast<std::size_t>(-1); ///< bytes in all; past it: NoSpace
    mutable std::vector<std::string> log;                ///< "read a/b", "write a/b"
    [[nodiscard]] base::Result<std::string, IoError> read(const std::string& path) const override;
    [[nodiscard]] base::Result<bool, IoError> write(const std::string& path, std::string_view bytes) override;
    [[nodiscard]] bool exists(const std::string& path) const override;
    [[nodiscard]] std::vector<std::string> list(const std::string& folder) const override;
};

/// Joins and normalises; refuses absolute paths and any that climb out of `folder` (also through a
/// symbolic link on Disk: the caller checks with isBelow()).
[[nodiscard]] base::Result<std::string, IoError> pathBelow(const std::string& folder, std::string_view relative);
[[nodiscard]] std::string folderOf(std::string_view path);
[[nodiscard]] std::string fileNameOf(std::string_view path);
/// True if `path`, with links followed, lies below `folder` with links followed.
[[nodiscard]] bool isBelow(const std::string& folder, const std::string& path);

} // namespace spanwright::io

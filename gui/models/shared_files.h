// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <set>
#include <string>

#include "engine/io/files.h"

namespace spanwright::models {

/// Files that several threads may use: one call at a time.
class SharedFiles final : public io::Files {
public:
    explicit SharedFiles(std::unique_ptr<io::Files> files) : m_files(std::move(files)) {}
    [[nodiscard]] base::Result<std::string, io::IoError> read(const std::string& path) const override;
    [[nodiscard]] base::Result<bool, io::IoError> write(const std::string& path, std::string_view bytes) override;
    [[nodiscard]] bool exists(const std::string& path) const override;
    [[nodiscard]] std::vector<std::string> list(const std::string& folder) const override;

private:
    mutable std::mutex m_mutex;
    std::unique_ptr<io::Files> m_files;
};

/// What was read, by path: so that two copies of a job stand on the same bytes, whatever becomes of the files meanwhile.
struct BytesRead {
    std::mutex mutex;
    std::map<std::string, std::string> bytes;
    std::set<std::string> made; ///< were not there before one of the copies wrote them
};

/// What one copy of a job reads and writes through. Bytes that were read once are given again; while it pretends,
/// nothing is written, as the other copy has done so already, and what that one has made is not there yet.
class CopyFiles final : public io::Files {
public:
    CopyFiles(io::Files& files, std::shared_ptr<BytesRead> read) : m_files(files), m_read(std::move(read)) {}
    void pretend(bool on) { m_pretends = on; }
    [[nodiscard]] bool isOf(const std::shared_ptr<BytesRead>& read) const { return m_read == read; }
    [[nodiscard]] base::Result<std::string, io::IoError> read(const std::string& path) const override;
    [[nodiscard]] base::Result<bool, io::IoError> write(const std::string& path, std::string_view bytes) override;
    [[nodiscard]] bool exists(const std::string& path) const override;
    [[nodiscard]] std::vector<std::string> list(const std::string& folder) const override { return m_files.list(folder); }

private:
    io::Files& m_files;
    std::shared_ptr<BytesRead> m_read;
    bool m_pretends = false;
};

} // namespace spanwright::models

// SPDX-License-Identifier: MIT
#include "gui/models/shared_files.h"

namespace spanwright::models {

base::Result<std::string, io::IoError> SharedFiles::read(const std::string& path) const {
    const std::lock_guard<std::mutex> lock(m_mutex);
    return m_files->read(path);
}

base::Result<bool, io::IoError> SharedFiles::write(const std::string& path, std::string_view bytes) {
    const std::lock_guard<std::mutex> lock(m_mutex);
    return m_files->write(path, bytes);
}

bool SharedFiles::exists(const std::string& path) const {
    const std::lock_guard<std::mutex> lock(m_mutex);
    return m_files->exists(path);
}

std::vector<std::string> SharedFiles::list(const std::string& folder) const {
    const std::lock_guard<std::mutex> lock(m_mutex);
    return m_files->list(folder);
}

base::Result<std::string, io::IoError> CopyFiles::read(const std::string& path) const {
    const std::lock_guard<std::mutex> lock(m_read->mutex);
    if (const auto known = m_read->bytes.find(path); known != m_read->bytes.end()) return known->second;
    auto read = m_files.read(path);
    // What is not there may come: it is looked for again.
    if (read.ok()) m_read->bytes[path] = read.value();
    return read;
}

base::Result<bool, io::IoError> CopyFiles::write(const std::string& path, std::string_view bytes) {
    if (m_pretends) return true;
    const bool there = m_files.exists(path);
    auto done = m_files.write(path, bytes);
    if (done.ok()) {
        const std::lock_guard<std::mutex> lock(m_read->mutex);
        if (!there) m_read->made.insert(path);
        m_read->bytes[path] = std::string(bytes);
    }
    return done;
}

bool CopyFiles::exists(const std::string& path) const {
    if (m_pretends) {
        const std::lock_guard<std::mutex> lock(m_read->mutex);
        if (m_read->made.count(path) != 0) return false;
    }
    return m_files.exists(path);
}

} // namespace spanwright::models

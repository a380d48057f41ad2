// SPDX-License-Identifier: MIT
#include "engine/io/files.h"

namespace spanwright::io {

base::Result<std::string, IoError> Memory::read(const std::string& path) const {
    log.push_back("read " + path);
    const auto it = files.find(path);
    if (it == files.end()) return base::Failure{IoError{IoError::What::NotFound, path, "no such file"}};
    if (it->second.size() > kMaxFileBytes) return base::Failure{IoError{IoError::What::TooLarge, path, "larger than 64 MiB"}};
    return it->second;
}

base::Result<bool, IoError> Memory::write(const std::string& path, std::string_view bytes) {
    log.push_back("write " + path);
    if (readOnly) return base::Failure{IoError{IoError::What::NotWritable, path, "the folder is read-only"}};
    if (bytes.size() > kMaxFileBytes) return base::Failure{IoError{IoError::What::TooLarge, path, "larger than 64 MiB"}};
    // As on a disk: the new file must find room beside the old one.
    std::size_t used = 0;
    for (const auto& [name, content] : files) used += content.size();
    if (bytes.size() > capacity || used > capacity - bytes.size()) return base::Failure{IoError{IoError::What::NoSpace, path, "no space left"}};
    files[path] = std::string(bytes);
    return true;
}

bool Memory::exists(const std::string& path) const { return files.count(path) != 0; }

std::vector<std::string> Memory::list(const std::string& folder) const {
    const std::string start = folder.empty() || folder.back() == '/' ? folder : folder + '/';
    std::vector<std::string> out;
    for (const auto& [name, content] : files)
        if (name.size() > start.size() && name.compare(0, start.size(), start) == 0) out.push_back(name.substr(start.size()));
    return out; // sorted, as the map is
}

} // namespace spanwright::io

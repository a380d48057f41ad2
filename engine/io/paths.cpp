// SPDX-License-Identifier: MIT
#include <filesystem>

#include "engine/io/files.h"

namespace spanwright::io {

namespace fs = std::filesystem;

base::Result<std::string, IoError> pathBelow(const std::string& folder, std::string_view relative) {
    const auto refuse = [&](const char* message) { return base::Failure{IoError{IoError::What::Outside, std::string(relative), message}}; };
    if (relative.empty()) return refuse("the path is empty");
    if (relative.front() == '/') return refuse("the path is absolute; files are named from their folder");
    std::vector<std::string_view> parts;
    for (std::size_t at = 0; at <= relative.size();) {
        const std::size_t slash = std::min(relative.find('/', at), relative.size());
        const std::string_view part = relative.substr(at, slash - at);
        at = slash + 1;
        if (part.find('\0') != std::string_view::npos) return refuse("the path holds a zero byte");
        if (part.empty() || part == ".") continue;
        if (part == "..") {
            if (parts.empty()) return refuse("the path leads out of its folder");
            parts.pop_back();
            continue;
        }
        parts.push_back(part);
    }
    if (parts.empty()) return refuse("the path names a folder");
    std::string out = folder;
    for (std::string_view part : parts) {
        if (!out.empty() && out.back() != '/') out += '/';
        out += part;
    }
    return out;
}

std::string folderOf(std::string_view path) {
    const std::size_t slash = path.rfind('/');
    if (slash == std::string_view::npos) return {};
    return std::string(path.substr(0, slash == 0 ? 1 : slash));
}

std::string fileNameOf(std::string_view path) {
    const std::size_t slash = path.rfind('/');
    return std::string(slash == std::string_view::npos ? path : path.substr(slash + 1));
}

bool isBelow(const std::string& folder, const std::string& path) {
    std::error_code failed;
    // Made absolute first: of a path that does not exist weakly_canonical would keep the relative form.
    const fs::path start = fs::absolute(folder.empty() ? fs::path(".") : fs::path(folder), failed);
    if (failed) return false;
    const fs::path root = fs::weakly_canonical(start, failed);
    if (failed) return false;
    const fs::path end = fs::absolute(path, failed);
    if (failed) return false;
    const fs::path full = fs::weakly_canonical(end, failed);
    if (failed) return false;
    auto at = full.begin();
    for (const fs::path& part : root) {
        if (part.empty()) continue; // of a trailing slash
        if (at == full.end() || *at != part) return false;
        ++at;
    }
    return at != full.end();
}

} // namespace spanwright::io

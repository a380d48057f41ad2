// SPDX-License-Identifier: MIT
#include "engine/io/folders.h"

#include <filesystem>

namespace spanwright::io {

base::Result<bool, IoError> makeFolder(const std::string& path) {
    std::error_code problem;
    std::filesystem::create_directories(path, problem);
    if (!problem && std::filesystem::is_directory(path, problem)) return true;
    if (problem == std::errc::no_space_on_device) return base::Failure{IoError{IoError::What::NoSpace, path, "no space left"}};
    return base::Failure{IoError{IoError::What::NotWritable, path, "the folder cannot be made"}};
}

} // namespace spanwright::io

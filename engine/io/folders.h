// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "engine/base/result.h"
#include "engine/io/files.h"

namespace spanwright::io {

/// Makes a folder on the disk, with those above it. It is no error if it is there already.
[[nodiscard]] base::Result<bool, IoError> makeFolder(const std::string& path);

} // namespace spanwright::io

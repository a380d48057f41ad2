// SPDX-License-Identifier: MIT
#pragma once

#include <doctest/doctest.h>

#include <cstdlib>
#include <fstream>
#include <string>

#include "tests/engine/report/sample_facts.h"

namespace spanwright::report::sample {

/// Compares with tests/engine/report/golden/NAME. A missing file fails; SPANWRIGHT_UPDATE_GOLDEN=1 writes it.
inline void compareGolden(const std::string& name, const std::string& got) {
    const std::string path = std::string(SPANWRIGHT_SOURCE_DIR) + "/tests/engine/report/golden/" + name;
    if (std::getenv("SPANWRIGHT_UPDATE_GOLDEN") != nullptr) {
        std::ofstream(path, std::ios::binary) << got;
        return;
    }
    std::ifstream there(path, std::ios::binary);
    REQUIRE_MESSAGE(there.good(), "no golden file " << name);
    CHECK(readFile(path) == got);
}

} // namespace spanwright::report::sample

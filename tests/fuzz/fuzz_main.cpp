// SPDX-License-Identifier: MIT
// The entry that libFuzzer calls; SPANWRIGHT_FUZZ_TARGET names the function of targets.h.
#include <cstddef>
#include <cstdint>

#include "tests/fuzz/targets.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    spanwright::fuzz::SPANWRIGHT_FUZZ_TARGET(std::string(reinterpret_cast<const char*>(data), size));
    return 0;
}

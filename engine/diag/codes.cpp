// SPDX-License-Identifier: MIT
#include "engine/diag/codes.h"

#include <array>
#include <cstddef>

namespace spanwright::diag {

namespace {

struct Entry {
    std::string_view name;
    std::string_view text;
    std::string_view explanation;
};

constexpr std::array kEntries{
#define SPANWRIGHT_CODE(name, text, explanation) Entry{#name, text, explanation},
#include "engine/diag/codes.def"
#undef SPANWRIGHT_CODE
};

constexpr bool allDifferent() {
    for (std::size_t i = 0; i < kEntries.size(); ++i) {
        for (std::size_t j = i + 1; j < kEntries.size(); ++j) {
            if (kEntries[i].text == kEntries[j].text) return false;
        }
    }
    return true;
}
static_assert(allDifferent(), "two diagnostics have the same code");

const Entry& entryOf(Code c) {
    static constexpr Entry kNone{"Unknown", "?", "No such code."};
    const auto index = static_cast<std::size_t>(c);
    return index < kEntries.size() ? kEntries[index] : kNone;
}

} // namespace

std::string_view codeText(Code c) { return entryOf(c).text; }

std::string_view codeName(Code c) { return entryOf(c).name; }

std::string_view codeExplanation(Code c) { return entryOf(c).explanation; }

const std::vector<Code>& allCodes() {
    static const std::vector<Code> codes = [] {
        std::vector<Code> list;
        for (std::size_t i = 0; i < kEntries.size(); ++i) list.push_back(static_cast<Code>(i));
        return list;
    }();
    return codes;
}

} // namespace spanwright::diag

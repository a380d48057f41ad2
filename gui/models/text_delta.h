// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace spanwright::models {

/// What an edit did to one text: at `offset`, `removed` gave way to `inserted`. Small however large the text.
struct TextDelta {
    std::string file;
    std::size_t offset = 0;
    std::string removed, inserted;
    [[nodiscard]] bool empty() const { return removed.empty() && inserted.empty(); }
};

/// The smallest single replacement that turns `before` into `after`; never splits a UTF-8 sequence.
[[nodiscard]] TextDelta deltaBetween(std::string file, const std::string& before, const std::string& after);

/// `text` with the delta done (`forward`) or undone; nothing when the text there is not what the delta expects.
[[nodiscard]] std::optional<std::string> applied(const TextDelta& delta, const std::string& text, bool forward);

/// One line of a comparison of two texts.
struct DiffLine {
    enum class Side : char { Both = ' ', Before = '-', After = '+' } side = Side::Both;
    std::string text;
};
/// Lines that differ, with up to `around` lines of context; a line of "..." stands where lines are left out.
[[nodiscard]] std::vector<DiffLine> lineDifference(const std::string& before, const std::string& after, std::size_t around = 2);

} // namespace spanwright::models

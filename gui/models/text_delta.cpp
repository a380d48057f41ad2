// SPDX-License-Identifier: MIT
#include "gui/models/text_delta.h"

#include <algorithm>
#include <string_view>

namespace spanwright::models {

namespace {

bool continues(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

std::vector<std::string> linesOf(const std::string& text) {
    std::vector<std::string> out;
    std::size_t at = 0;
    while (at < text.size()) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        std::string line = text.substr(at, end - at);
        if (!line.empty() && line.back() == '\r') line.pop_back();
        out.push_back(std::move(line));
        at = end + 1;
    }
    return out;
}

/// Beyond this many lines on each side of the part that differs, the longest common run is not looked for.
constexpr std::size_t kMaxCompared = 2000;

} // namespace

TextDelta deltaBetween(std::string file, const std::string& before, const std::string& after) {
    const std::size_t shorter = std::min(before.size(), after.size());
    std::size_t front = 0;
    while (front < shorter && before[front] == after[front]) ++front;
    // Back to the start of a sequence that differs only in its later bytes.
    while (front > 0 && ((front < before.size() && continues(before[front])) || (front < after.size() && continues(after[front])))) --front;
    std::size_t back = 0;
    while (back < shorter - front && before[before.size() - 1 - back] == after[after.size() - 1 - back]) ++back;
    while (back > 0 && continues(before[before.size() - back])) --back;
    return {std::move(file), front, before.substr(front, before.size() - front - back), after.substr(front, after.size() - front - back)};
}

std::optional<std::string> applied(const TextDelta& delta, const std::string& text, bool forward) {
    const std::string& out = forward ? delta.removed : delta.inserted;
    const std::string& in = forward ? delta.inserted : delta.removed;
    if (delta.offset > text.size() || text.compare(delta.offset, out.size(), out) != 0) return std::nullopt;
    std::string result;
    result.reserve(text.size() - out.size() + in.size());
    result.append(text, 0, delta.offset);
    result.append(in);
    result.append(text, delta.offset + out.size(), std::string::npos);
    return result;
}

std::vector<DiffLine> lineDifference(const std::string& before, const std::string& after, std::size_t around) {
    const std::vector<std::string> a = linesOf(before), b = linesOf(after);
    std::size_t front = 0;
    while (front < a.size() && front < b.size() && a[front] == b[front]) ++front;
    std::size_t back = 0;
    while (back < a.size() - front && back < b.size() - front && a[a.size() - 1 - back] == b[b.size() - 1 - back]) ++back;
    const std::size_t n = a.size() - front - back, m = b.size() - front - back;

    std::vector<DiffLine> all;
    for (std::size_t i = 0; i < front; ++i) all.push_back({DiffLine::Side::Both, a[i]});
    if (n <= kMaxCompared && m <= kMaxCompared) {
        // Longest common subsequence of the middle.
        std::vector<std::vector<std::uint32_t>> length(n + 1, std::vector<std::uint32_t>(m + 1, 0));
        for (std::size_t i = n; i-- > 0;)
            for (std::size_t j = m; j-- > 0;)
                length[i][j] = a[front + i] == b[front + j] ? length[i + 1][j + 1] + 1 : std::max(length[i + 1][j], length[i][j + 1]);
        std::size_t i = 0, j = 0;
        while (i < n || j < m) {
            if (i < n && j < m && a[front + i] == b[front + j]) {
                all.push_back({DiffLine::Side::Both, a[front + i]});
                ++i;
                ++j;
            } else if (i < n && (j == m || length[i + 1][j] >= length[i][j + 1])) {
                all.push_back({DiffLine::Side::Before, a[front + i++]});
            } else {
                all.push_back({DiffLine::Side::After, b[front + j++]});
            }
        }
    } else {
        for (std::size_t i = 0; i < n; ++i) all.push_back({DiffLine::Side::Before, a[front + i]});
        for (std::size_t j = 0; j < m; ++j) all.push_back({DiffLine::Side::After, b[front + j]});
    }
    for (std::size_t i = a.size() - back; i < a.size(); ++i) all.push_back({DiffLine::Side::Both, a[i]});

    std::vector<char> keep(all.size(), 0);
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (all[i].side == DiffLine::Side::Both) continue;
        for (std::size_t k = i > around ? i - around : 0; k <= std::min(i + around, all.size() - 1); ++k) keep[k] = 1;
    }
    std::vector<DiffLine> out;
    bool gap = false;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (keep[i] == 0) {
            gap = true;
            continue;
        }
        if (gap && !out.empty()) out.push_back({DiffLine::Side::Both, "..."});
        gap = false;
        out.push_back(all[i]);
    }
    return out;
}

} // namespace spanwright::models

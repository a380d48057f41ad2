// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string_view>

namespace spanwright::base {

/// Half-open range of bytes [begin, end) in some text; which text is said by who holds it.
struct ByteSpan {
    std::uint32_t begin = 0;
    std::uint32_t end = 0;

    [[nodiscard]] constexpr std::uint32_t size() const { return end - begin; }
    [[nodiscard]] constexpr bool empty() const { return end <= begin; }
    [[nodiscard]] constexpr bool contains(std::uint32_t at) const { return begin <= at && at < end; }
    /// The part of `text` covered; clipped when the span runs past its end.
    [[nodiscard]] constexpr std::string_view of(std::string_view text) const {
        if (begin >= text.size() || end <= begin) return {};
        return text.substr(begin, end - begin);
    }
    /// The smallest span that holds both.
    [[nodiscard]] constexpr ByteSpan joined(ByteSpan o) const {
        return {begin < o.begin ? begin : o.begin, end > o.end ? end : o.end};
    }
    friend constexpr bool operator==(ByteSpan, ByteSpan) = default;
};

} // namespace spanwright::base

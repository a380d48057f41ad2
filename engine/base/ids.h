// SPDX-License-Identifier: MIT
#pragma once

#include <compare>
#include <cstddef>
#include <cstdint>
#include <functional>

namespace spanwright::base {

/// An index that cannot be mixed up with another kind of index. `Tag` is an empty struct.
/// A default-made id is invalid.
template <class Tag> struct Id {
    static constexpr std::uint32_t kNone = 0xffffffffU;
    std::uint32_t value = kNone;

    constexpr Id() = default;
    constexpr explicit Id(std::size_t v) : value(static_cast<std::uint32_t>(v)) {}
    [[nodiscard]] constexpr bool valid() const { return value != kNone; }
    [[nodiscard]] constexpr std::size_t index() const { return value; }
    friend constexpr auto operator<=>(Id, Id) = default;
};

} // namespace spanwright::base

template <class Tag> struct std::hash<spanwright::base::Id<Tag>> {
    std::size_t operator()(spanwright::base::Id<Tag> id) const noexcept { return id.value; }
};

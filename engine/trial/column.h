// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <new>
#include <utility>
#include <vector>

namespace spanwright::trial {

/// Leaves numbers as they are found when a vector grows, instead of setting them to zero.
template <class T> struct LeftAlone : std::allocator<T> {
    template <class U> struct rebind { using other = LeftAlone<U>; };
    LeftAlone() = default;
    template <class U> LeftAlone(const LeftAlone<U>&) noexcept {}
    template <class U> void construct(U* at) noexcept { ::new (static_cast<void*>(at)) U; }
    template <class U, class... A> void construct(U* at, A&&... a) { ::new (static_cast<void*>(at)) U(std::forward<A>(a)...); }
};

/// A result at each of many points. resize() does not touch its memory: the thread that works out a point does so first, and
/// whoever resizes sees to it that every element is written.
template <class T> using Column = std::vector<T, LeftAlone<T>>;

} // namespace spanwright::trial

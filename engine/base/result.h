// SPDX-License-Identifier: MIT
#pragma once

#include <cassert>
#include <utility>
#include <variant>

namespace spanwright::base {

/// Wraps an error so that Result<T, E> can be told which side it holds even when T and E are alike.
template <class E> struct Failure {
    E error;
};
template <class E> Failure(E) -> Failure<E>;

/// A value, or the reason why there is none. Errors are data: nothing in the engine throws across
/// a layer.
template <class T, class E> class [[nodiscard]] Result {
public:
    Result(T value) : m_state(std::in_place_index<0>, std::move(value)) {} // NOLINT(google-explicit-constructor)
    Result(Failure<E> f) : m_state(std::in_place_index<1>, std::move(f.error)) {} // NOLINT(google-explicit-constructor)

    [[nodiscard]] bool ok() const { return m_state.index() == 0; }
    explicit operator bool() const { return ok(); }
    /// Only when ok().
    [[nodiscard]] const T& value() const& { assert(ok()); return *std::get_if<0>(&m_state); }
    [[nodiscard]] T& value() & { assert(ok()); return *std::get_if<0>(&m_state); }
    [[nodiscard]] T&& value() && { assert(ok()); return std::move(*std::get_if<0>(&m_state)); }
    /// Only when !ok().
    [[nodiscard]] const E& error() const& { assert(!ok()); return *std::get_if<1>(&m_state); }
    [[nodiscard]] E&& error() && { assert(!ok()); return std::move(*std::get_if<1>(&m_state)); }

private:
    std::variant<T, E> m_state;
};

} // namespace spanwright::base

// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <utility>

namespace spanwright::shop {

/// Work done so far against a limit; whoever works adds to it and asks whether to go on.
class Budget {
public:
    Budget(std::uint64_t limit, std::function<bool()> cancelled) : m_limit(limit), m_cancelled(std::move(cancelled)) {}
    void add(std::uint64_t work) { m_done += work; }
    [[nodiscard]] std::uint64_t done() const { return m_done; }
    [[nodiscard]] std::uint64_t limit() const { return m_limit; }
    [[nodiscard]] std::uint64_t left() const { return m_done >= m_limit ? 0 : m_limit - m_done; }
    /// Asks for cancelling not more often than every few thousand steps of work.
    [[nodiscard]] bool spent() {
        if (m_stopped || m_done >= m_limit) return true;
        if (m_cancelled && m_done >= m_askAt) {
            m_askAt = m_done + 100'000;
            m_stopped = m_cancelled();
        }
        return m_stopped;
    }

private:
    std::uint64_t m_limit;
    std::uint64_t m_done = 0;
    std::uint64_t m_askAt = 0;
    std::function<bool()> m_cancelled;
    bool m_stopped = false;
};

} // namespace spanwright::shop

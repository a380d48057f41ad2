// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <set>
#include <vector>

#include "gui/models/history.h"
#include "gui/models/job_session.h"

namespace spanwright::models {

/// The way down from a check to the values that somebody stated, one step at a time. The first step goes into the
/// demand; at each value the walk goes into the first worked value that it comes from, and at the end of a branch
/// into the nearest one not yet seen: every value upstream is seen once, in the order of reading.
class GoverningWalk {
public:
    explicit GoverningWalk(const JobSession& session) : m_session(session) {}
    /// Begins anew at a value.
    void start(const Spot& spot);
    /// The next value; nothing when all have been seen. Starts at `from` when the walk is not standing there.
    [[nodiscard]] std::optional<Spot> step(const Spot& from);

private:
    void push(const Spot& spot);
    const JobSession& m_session;
    std::vector<Spot> m_open; ///< to be seen, the next last
    std::set<std::pair<std::string, std::string>> m_seen;
    std::optional<Spot> m_at;
};

} // namespace spanwright::models

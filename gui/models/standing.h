// SPDX-License-Identifier: MIT
#pragma once

#include <QString>

#include <optional>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "gui/models/job_session.h"

namespace spanwright::models {

/// One thing that is wrong, or not yet known, and where to jump to mend it.
struct Trouble {
    enum class Sort : std::uint8_t { NotComputed, Fails, NotProven, NotStated, Trial } sort = Sort::NotComputed;
    std::optional<CellId> cell; ///< the row to jump to
    std::string mark;           ///< member concerned; empty: the job or a file
    QString text, mend;
    std::optional<diag::Place> place; ///< in a text, when there is no row to jump to
};

/// How the job stands, in one sentence, and the list behind it, weightiest first.
struct Standing {
    job::Verdict verdict = job::Verdict::NotProven;
    std::size_t members = 0, notComputed = 0, fails = 0, notProven = 0, notStated = 0, errors = 0, trials = 0;
    std::vector<Trouble> troubles;
    QString sentence; ///< "2 of 9 members fail; 3 values not stated; first: ..."
};

/// Pinned trials that cannot be worked out as the job stands. What of a row cannot be read is among the job's errors already. Reads what the
/// trials vary and what hangs on it, which is not for every key.
[[nodiscard]] std::vector<Trouble> trialTroubles(const JobSession& session);
/// `trials`: what trialTroubles() gave.
[[nodiscard]] Standing standingOf(const JobSession& session, const std::vector<Trouble>& trials = {});

} // namespace spanwright::models

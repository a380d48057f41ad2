// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/trial/reach.h"

namespace spanwright::trial {

struct VaryRequest {
    std::vector<std::string> over; ///< one to three, as readOver() takes them
    std::vector<std::string> show; ///< rows and checks; checks as utilisations
    /// A span table: at each point the largest or smallest value of another one that passes everywhere.
    std::optional<Aim> aim;
    std::string reach; ///< its name, with `from A to B` if wanted
    std::size_t samples = 200;
};

/// Along one numeric axis: where passing begins or ends.
struct Boundary {
    double at = 0.0;          ///< the last place that passes
    bool passesBelow = false; ///< it passes up to there, else from there on
    std::string shown;
    std::vector<std::string> stops;
};

struct VaryTable {
    std::string title;          ///< what is shown over what
    std::vector<Varied> varied; ///< as many as axes; behind them the one that is reached for
    std::vector<Axis> axes;
    std::vector<Shown> shown;
    std::vector<CheckName> checks;
    std::vector<std::string> members; ///< marks of those that are reached
    Results results;                  ///< row-major over the axes, the last one fastest
    std::vector<Boundary> boundaries; ///< with one numeric axis
    std::optional<Aim> aim;
    std::vector<CellReach> reached;        ///< by point; with an aim
    std::vector<std::string> reachedShown; ///< "4.12 m"; empty: nothing passes
    std::vector<std::string> reachedStops; ///< the check that ends it
    Range range;                           ///< where it was looked for
    bool ownRange = false;
    bool cancelled = false;
    /// Values of point i along each axis.
    [[nodiscard]] std::vector<std::size_t> indices(std::size_t point) const;
};

/// A table made ready: apart from the job from then on.
struct VaryPlan {
    Trial trial;
    VaryTable table; ///< axes and names
    OverText reachText;
    std::string file;
};
/// Reads and checks a request on the job's thread. Refused with the number and the limit when it has too many points.
[[nodiscard]] base::Result<VaryPlan, diag::Diagnostic> planVary(const job::Job& job, const VaryRequest& request);
/// The table itself, on any thread.
[[nodiscard]] VaryTable vary(const VaryPlan& plan, const Control& control);
/// Both at once.
[[nodiscard]] base::Result<VaryTable, diag::Diagnostic> vary(const job::Job& job, const VaryRequest& request, const Control& control);

} // namespace spanwright::trial

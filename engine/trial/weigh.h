// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/trial/range.h"

namespace spanwright::trial {

/// How much one stated value weighs on a quantity.
struct Weight {
    ValueName name;
    std::string what, nowShown;
    double now = 0.0;
    double slope = 0.0;   ///< change of the quantity for a change of the value, SI
    double percent = 0.0; ///< percentage change of the quantity for one per cent of the value
    bool exact = false;   ///< by differentiating the formulas; else by central differences
    bool jumps = false;   ///< the quantity jumps beside the present value: there is no number
    std::string text;     ///< what could not be said about it, where there is no number; else empty
};

struct Weights {
    Shown of;                    ///< the quantity; of a check its utilisation
    double value = 0.0;          ///< SI
    std::string caseLabel;       ///< with cases: the governing one (of central differences the governing one at each place)
    std::vector<Weight> weights; ///< the heaviest first
    std::vector<Weight> without; ///< values that have none, with the reason in `text`
    bool cancelled = false;
};

/// Every stated value, given and default upstream of a quantity or check, through links into other members and the job's own
/// givens. Exact where the formulas between them can be differentiated, else central differences of one part in
/// 10,000, halved once. Of a quantity that jumps beside the present value no weight is given, whatever its formulas say.
struct WeighPlan {
    std::size_t member = 0;
    meaning::QuantityId target;
    ValueName of;
    std::string file;
    std::vector<Trial> trials; ///< one for each value
};
/// Makes ready on the job's thread.
[[nodiscard]] base::Result<WeighPlan, diag::Diagnostic> planWeigh(const job::Job& job, const ValueName& of);
/// The weighing itself, on any thread.
[[nodiscard]] base::Result<Weights, diag::Diagnostic> weigh(const WeighPlan& plan, const Control& control);
/// Both at once.
[[nodiscard]] base::Result<Weights, diag::Diagnostic> weigh(const job::Job& job, const ValueName& of, const Control& control);

} // namespace spanwright::trial

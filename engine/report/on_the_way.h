// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/job/verdict.h"
#include "engine/report/document.h"

namespace spanwright::report {

/// What rows of one member work out on their way: functions of the sheet at their arguments. The first time it is printed step by
/// step; after that the numbers alone, leading to where the steps stand. A formula is printed once, with other arguments only its values.
class OnTheWay {
public:
    /// Below the row `name`, whose line has the id `row`. `own`: the row's formulas, where they are known; a number worked out before is
    /// then told only where they or steps printed here call for it: what it was made of stands where it was worked out.
    [[nodiscard]] std::vector<Block> blocks(const std::vector<job::Working::Aside>& asides, const std::string& row, const std::string& name,
                                            const std::vector<meaning::Box>& own = {});

private:
    struct Line {
        std::string id, name;
    };
    std::map<std::string, Line> m_worked;   ///< the same with the same numbers
    std::map<std::string, Line> m_formulas; ///< the same formula
};

} // namespace spanwright::report

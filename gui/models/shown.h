// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/job/job.h"

namespace spanwright::models {

/// What was shown of one row, so that the next edit can tell what it changed.
struct Shown {
    std::string shown;
    eval::State state = eval::State::Blocked;
    std::optional<job::CheckView::State> check;
    std::optional<double> utilisation;
    std::string statedText, statedFrom;
    std::size_t review = 0;  ///< over its tick, how that stands, and its remarks
    std::size_t numbers = 0; ///< over the numbers of all cases
    bool stated = false;
    std::optional<std::string> old; ///< set: the last edit changed it from this
};

struct MemberShown {
    std::string mark, sheetName;
    std::shared_ptr<const syntax::Document> document; ///< held, so that its address stays its own
    std::size_t shape = 0;                            ///< over names, kinds, parts and units of the sheet's rows
    std::vector<Shown> rows;
};

/// What is shown of a member now. `others`: looked at before; of one that has the same sheet the shape is taken.
[[nodiscard]] MemberShown lookAt(const job::Job& job, std::size_t member, const std::vector<MemberShown>& others);

} // namespace spanwright::models

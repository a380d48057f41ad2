// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "engine/shop/joints.h"

namespace spanwright::shop {

/// What the words on proposed joints need besides the proposals.
struct JointSearch {
    bool web = false, flange = false; ///< the lists that there are
    bool matched = false;             ///< every chain of joints on the places was matched with every other
    std::string currency;
};

/// What tells two sets apart: below 0 if the first is better, and by what.
[[nodiscard]] std::pair<int, const char*> decides(const JointProposal& x, const JointProposal& y);

/// What was chosen and why, the next best, the best of those with fewer joints (whoever makes them may think more of his time), how far the
/// search went and what is proven of its best.
[[nodiscard]] std::vector<std::string> jointWords(const JointProposal& best, const JointSearch& search, const JointProposal* next, const JointProposal* fewest);

} // namespace spanwright::shop

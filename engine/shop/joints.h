// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "engine/base/result.h"
#include "engine/shop/workshop.h"

namespace spanwright::shop {

/// Joints proposed for a member whose sheet has the lists `web_joints` and `flange_joints`, and the rows x_A and x_B
/// (its ends), `apart`, `l_panel` and `l_stick` if it limits them.
struct JointProposal {
    std::vector<double> web, top, bottom; ///< places along the member, m
    std::string webLines, flangeLines;    ///< the lists as they are written into the job
    double bought = 0.0;                  ///< m³ of stock bought for it alone, for all of them
    double waste = 0.0;                   ///< share of what is cut, bought or on hand, that becomes no piece; plates of joints count as waste
    double cost = 0.0;                    ///< of what is bought; 0 without prices
    bool money = false;                   ///< all that is bought has a price
    double utilisation = 0.0;             ///< greatest of the checks that the joints decide
    std::size_t tried = 0;                ///< sets of joints that were calculated and planned
    std::size_t held = 0;                 ///< of these, kept every rule
    std::size_t sets = 0;                 ///< that keep their distances, of the chains of joints that were matched
    bool all = false;                     ///< these are all sets on the places tried with the numbers of joints tried, and all were tried
    double atLeast = 0.0;                 ///< m³ that must be bought for it wherever its joints stand
    bool proven = false;                  ///< no other joints buy less
    std::vector<std::string> words;       ///< where the joints are, what was chosen and why, the next best
    [[nodiscard]] std::size_t joints() const { return web.size() + top.size() + bottom.size(); }
};

/// Tries sets of joints from the lengths of the stock and keeps those that every check and require of the sheet passes that reads the lists.
/// Joints stand at whole steps of `kJointStep` and where lengths of stock reach. All sets on these places are tried where they are few, else the
/// ones that promise the least stock and others from everywhere; `words` says which, and whether it is proven that no others buy less.
/// Of these it takes the one that buys the least stock, so wastes the least; then the fewest joints; then the least cost; then the least use.
/// The job's text then holds it as the member's own lists; on failure the text is as it was. Joints take plates and strengths from the first
/// row that is stated.
[[nodiscard]] base::Result<JointProposal, diag::Diagnostic> proposeJoints(job::Job& job, std::string_view mark, const Effort& effort = effortOfSeconds(0.1));

} // namespace spanwright::shop

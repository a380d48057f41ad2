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
    double cost = 0.0;                    ///< of the stock bought for it alone: money, or m² without prices
    bool money = false;
    double utilisation = 0.0; ///< greatest of the checks that the joints decide
    std::size_t tried = 0;    ///< sets of joints that were calculated and planned
    std::vector<std::string> words;
};

/// Tries sets of joints from the lengths of the stock, keeps those that every check and require of the sheet passes that reads
/// the lists, and of these the one whose stock costs least, then the one that is used least. The job's text then holds it as the
/// member's own lists; on failure the text is as it was. Joints take plates and strengths from the first row that is stated.
[[nodiscard]] base::Result<JointProposal, diag::Diagnostic> proposeJoints(job::Job& job, std::string_view mark, const Effort& effort = effortOfSeconds(0.1));

} // namespace spanwright::shop

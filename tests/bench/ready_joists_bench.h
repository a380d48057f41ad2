// SPDX-License-Identifier: MIT
#pragma once

namespace spanwright::bench {

/// The ready joist sheets as trials over the depth against the same calculation by hand, on one core.
void readyJoistsByHand();
/// Span tables of the ready joist sheets, as they are: beams solved and searched at each point.
void readySpanTables();

} // namespace spanwright::bench

// SPDX-License-Identifier: MIT
#pragma once

#include "engine/beam/solved_data.h"

namespace spanwright::beam {

/// The last step of solving a line: how each part bows each cell, that is the seven curves of the cell, as much of each as the part has of
/// the force that goes with it; closed forms where nothing varies. The curves themselves are not kept.
void addBows(SolvedData& data);

} // namespace spanwright::beam

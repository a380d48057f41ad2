// SPDX-License-Identifier: MIT
#pragma once

namespace spanwright::shop {

/// Whole numbers wide enough for products of two 64-bit ones.
__extension__ using Wide = __int128;

} // namespace spanwright::shop

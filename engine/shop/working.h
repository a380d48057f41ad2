// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace spanwright::shop {

/// How a number of the workshop came about, in words and with the values put in: "price of one x number bought",
/// "64.00 EUR x 3", "192.00 EUR".
struct Working {
    std::string formula, putIn, result;
};

} // namespace spanwright::shop

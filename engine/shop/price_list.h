// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "engine/shop/shop_rows.h"

namespace spanwright::shop {

/// Puts the prices of a CSV file (`item [text], price [text], on [text], until [text]`) in place of those of the rows. Prices
/// that the file does not hold stay as the rows state them. Lines that cannot be read, name nothing or name it twice are told.
void applyPrices(const std::string& file, const std::string& bytes, ShopRows& rows);

} // namespace spanwright::shop

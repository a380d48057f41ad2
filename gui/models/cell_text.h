// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

#include "engine/meaning/sheet.h"

namespace spanwright::models {

/// What a cell writes into the job for what somebody typed into it: a bare number takes the unit shown
/// ("4.2" -> "4.2 m"), a decimal comma becomes a point ("3,6 m" -> "3.6 m"); everything else stays as typed
/// ("14 ft 6 in", "J1.R_G/J1.s", a table row's key), to be taken or refused by the language.
[[nodiscard]] std::string writtenFor(const meaning::Quantity& quantity, std::string_view typed);

/// What is shown of a number whose unit stands in a column of its own: "2.106" for "2.106 kN·m".
[[nodiscard]] std::string withoutUnit(std::string_view shown, std::string_view unit);

/// True when a stated text is a link: it reads other members' values or the job's givens instead of being a value.
[[nodiscard]] bool isLink(const meaning::Quantity& quantity, std::string_view statedText);

} // namespace spanwright::models

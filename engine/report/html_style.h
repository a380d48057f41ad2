// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "engine/report/document.h"

namespace spanwright::report {

/// The page's style sheet: paper, pencil and boxed words; black and white print, dark and narrow screens.
/// Holds neither < nor &, so that it reads alike as HTML and XML.
[[nodiscard]] std::string htmlStyle(const Document& d);

/// The class of a boxed word: "ok", "not-proven", "fails", "not-computed", "not-applicable".
[[nodiscard]] const char* stampClass(Stamp s);

} // namespace spanwright::report

// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace spanwright::report::sample {

/// What a page that is both HTML5 and XML may not have: tags that do not balance, attributes without
/// quotes or given twice, bare & or <, ids that are not unique, links that lead nowhere, elements or
/// attributes that load or run something, blocks inside paragraphs. Empty when all is well.
[[nodiscard]] std::vector<std::string> pageFaults(std::string_view page);

} // namespace spanwright::report::sample

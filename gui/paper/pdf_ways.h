// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace spanwright::paper {

class PageBook;

/// The same file with ways through it, which a painter cannot make: bookmarks, links from page to page, page numbers as printed,
/// and what the job says about itself. The same pages give the same bytes. Pages look as they did.
[[nodiscard]] std::string withWays(const std::string& pdf, const PageBook& book);

} // namespace spanwright::paper

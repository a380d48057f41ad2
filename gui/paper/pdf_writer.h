// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <string>

#include "engine/report/document.h"

namespace spanwright::paper {

class PageBook;

/// The pages as a PDF file. The same pages give the same bytes: no clock, no chance. `goOn` is asked before each page, with pages written
/// and pages in all; false gives up, and nothing comes back.
[[nodiscard]] std::string writePdf(const PageBook& book, const std::function<bool(std::size_t done, std::size_t total)>& goOn = {});

/// What the command is handed. It needs no window and no display; where there is no application yet it makes one that
/// has none.
class PdfWriter final : public report::PaperWriter {
public:
    [[nodiscard]] std::string write(const report::Document& document, Size size, std::string& problem) const override;
};

} // namespace spanwright::paper

// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "engine/report/document.h"

namespace spanwright::paper {

class PageBook;

/// The pages as a PDF file. The same pages give the same bytes: no clock, no chance.
[[nodiscard]] std::string writePdf(const PageBook& book);

/// What the command is handed. It needs no window and no display; where there is no application yet it makes one that
/// has none.
class PdfWriter final : public report::PaperWriter {
public:
    [[nodiscard]] std::string write(const report::Document& document, Size size, std::string& problem) const override;
};

} // namespace spanwright::paper

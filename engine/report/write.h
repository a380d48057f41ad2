// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "engine/report/document.h"
#include "engine/report/facts.h"

/// From documents and facts to bytes. All give the same bytes for the same input on every machine, end
/// with a line feed, and are UTF-8 whatever the files held.
namespace spanwright::report {

/// Plain text, at most `width` columns wide (single words longer than that excepted).
[[nodiscard]] std::string writeText(const Document& d, std::size_t width = 80);
/// A self-contained page: HTML5 that is XML as well (so it can be checked by any XML reader), MathML,
/// inline SVG, no script, nothing fetched.
[[nodiscard]] std::string writeHtml(const Document& d);
/// A drawing as a file of its own, or (inside a page) without the XML head. `idPrefix` keeps the ids of
/// its hatching apart.
[[nodiscard]] std::string writeSvg(const Drawing& d, const std::string& idPrefix, bool standalone);
/// A formula as a <math> element.
[[nodiscard]] std::string writeMathml(const meaning::Box& box, bool display);
/// The same in pieces, broken before + and − and behind the arguments of what is called, where it is longer than `longest`
/// columns of plain text: lines can be broken between them.
[[nodiscard]] std::vector<std::string> writeMathmlPieces(const meaning::Box& box, std::size_t longest);
/// See check.schema.json. Needs facts gathered with rows.
[[nodiscard]] std::string writeJson(const JobFacts& f);
/// The schedule, RFC 4180.
[[nodiscard]] std::string writeScheduleCsv(const JobFacts& f);

} // namespace spanwright::report

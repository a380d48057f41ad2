// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "engine/report/document.h"
#include "engine/report/facts.h"
#include "engine/shop/workshop.h"

/// What the workshop makes of a job, as documents. Nothing is worked out here.
namespace spanwright::report {

/// How lengths are written at the bench.
enum class Tape : std::uint8_t { Millimetres, Inches /* to 1/16 in */ };
[[nodiscard]] std::string tapeText(std::int64_t units, Tape tape);

/// A board or panel to scale: pieces with their labels, saw cuts numbered in their order, what is left hatched.
/// For the bench letters are larger, and each part has its letter besides.
enum class CutLook : std::uint8_t { Page, Bench };
[[nodiscard]] Drawing cutDrawing(const shop::Workshop& w, const shop::GroupPlan& group, const shop::CutBoard& board, CutLook look = CutLook::Page);
/// Where a place on a board or panel, in the plan's units, lies in its drawing: at left + x*across, top + y*down.
struct CutFrame {
    double left = 0, top = 0, across = 1, down = 1;
};
[[nodiscard]] CutFrame cutFrame(const shop::GroupPlan& group, const shop::CutBoard& board, CutLook look = CutLook::Page);
/// Pieces of a board as they lie, from the lower edge up and from end A on, and the letters they go by there: a, b ... z, aa.
[[nodiscard]] std::vector<std::size_t> benchOrder(const shop::CutBoard& board);
[[nodiscard]] std::string benchLetter(std::size_t place);
/// A member on two slings: ends, centre of mass, slings with their tape readings, which way is up.
[[nodiscard]] Drawing liftDrawing(const std::string& mark, double length, double centre, Tape tape);
/// Where the slings are, in m from end A: a uniform bar on two slings 0.207 of its length from its ends bends least.
[[nodiscard]] std::pair<double, double> slingsOf(double length, double centre);
/// "12 to 14" of boards that are cut alike, else "12".
[[nodiscard]] std::string boardNumbers(const shop::CutBoard& board);

/// Sections of the report; `id`s do not collide with those of members.
/// `costFollows`: why a total is not proven is told there.
[[nodiscard]] Section buySection(const shop::Workshop& w, bool costFollows);
[[nodiscard]] Section planSection(const shop::Workshop& w);
[[nodiscard]] Section cutListSection(const shop::Workshop& w);
[[nodiscard]] Section labelSection(const shop::Workshop& w);
[[nodiscard]] Section massSection(const shop::Workshop& w);
[[nodiscard]] Section costSection(const shop::Workshop& w);
[[nodiscard]] std::vector<Section> shopSections(const shop::Workshop& w);

/// Says which of the members with these indices (of all that are built: none given) have another verdict than OK, and that nothing is to be made
/// of them before; nothing if there are none.
[[nodiscard]] std::optional<Block> notOkNotice(const shop::Workshop& w, const std::set<std::size_t>& members = {});

/// What `cut` prints.
[[nodiscard]] Document cutDocument(const JobFacts& f, const shop::Workshop& w);
/// What `price` prints; with the working of every number if wanted.
[[nodiscard]] Document priceDocument(const JobFacts& f, const shop::Workshop& w, bool workings);
/// Bench pages in large print: boards and panels with tape positions, jig tables, bond logs, lifting.
[[nodiscard]] Document benchDocument(const JobFacts& f, const shop::Workshop& w, const job::Job& job, Tape tape);

/// The cut list: a line for each part on each board. RFC 4180.
[[nodiscard]] std::string writeCutListCsv(const shop::Workshop& w);
[[nodiscard]] std::string writeCutJson(const std::string& file, const shop::Workshop& w);
[[nodiscard]] std::string writeBillCsv(const shop::Workshop& w);
[[nodiscard]] std::string writeBillJson(const std::string& file, const shop::Workshop& w);

} // namespace spanwright::report

// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "engine/shop/cut_layout.h"
#include "engine/shop/effort.h"
#include "engine/shop/money.h"
#include "engine/shop/parts.h"

namespace spanwright::shop {

/// A piece where it lies on a board or panel.
struct CutPiece {
    std::size_t part = 0;    ///< in Parts::parts
    std::int64_t number = 0; ///< which of the part's pieces: 1 to Part::count
    Box box;
    bool turned = false;
    std::vector<Spot> outline;
};

/// One board or panel, or several that are cut alike.
struct CutBoard {
    std::int64_t number = 0; ///< of the first of them, counted through the job from 1
    std::int64_t times = 1;
    std::size_t stock = 0; ///< in ShopRows::stock
    bool onHand = false;
    CutStock size; ///< as the planner saw it
    std::vector<CutPart> tree;
    std::vector<CutPiece> pieces; ///< of the first of them; of the others the numbers go on
    std::vector<SlantedCut> slants;
    std::vector<Box> offcuts;  ///< usable later, largest first
    std::int64_t usedArea = 0; ///< pieces with the kerf beside them, in square units
};

/// How many of a stock are cut and bought.
struct StockUse {
    std::size_t stock = 0;
    std::int64_t onHand = 0;  ///< taken from what is there
    std::int64_t planned = 0; ///< bought by the plan
    std::int64_t spare = 0;   ///< bought besides, by the rule of waste
};

/// The plan for all pieces of one material and thickness that share their stock.
struct GroupPlan {
    std::string material;
    double thickness = 0.0; ///< m
    bool panels = false;
    double breadth = 0.0; ///< m; of boards that must not be ripped; 0: ripped to breadth
    std::vector<std::size_t> stock, parts;
    std::int64_t pieces = 0;
    std::int64_t cut = 0, bought = 0; ///< boards or panels
    bool counted = false;             ///< `cost` and `atLeast` are numbers of boards, else cents or areas
    bool money = false;               ///< they are cents
    std::int64_t cost = 0, atLeast = 0;
    bool proven = false;
    bool unread = false; ///< a row of stock or a price could not be read that might do better: what is proven holds for the others alone
    std::string how;     ///< what proved it
    std::string words;   ///< "9 boards bought; at least 9 are needed"
    std::uint64_t work = 0;
    std::vector<CutBoard> boards;
    std::vector<StockUse> use;
    std::vector<std::size_t> short_; ///< parts that found no stock
    double ripped = 0.0, sawn = 0.0; ///< m: rips of boards, cuts of panels
    std::int64_t crosscuts = 0;
};

struct CutPlan {
    std::vector<GroupPlan> groups;
    std::vector<diag::Diagnostic> problems;
    bool whole = true; ///< every piece has its place
};

/// How the search for one group stands: a plan that its verifier has passed.
struct PlanSoFar {
    std::string title;      ///< of the group
    std::size_t group = 0;  ///< as CutPlan::groups counts them ...
    std::size_t groups = 0; ///< ... and how many there are; those before it are planned
    /// `cut`, `bought`, `cost`, `boards` to be drawn, numbered as they would be; `atLeast` as far as it is proven by then; `words`.
    /// Never `proven` and without `use`: both are said of the plan that is handed on.
    GroupPlan plan;
    bool whole = true; ///< false: not all its pieces have found stock yet
};

struct PlanOptions {
    Effort effort;
    /// Told whenever a better plan of a group is found: group's title, boards that are cut.
    std::function<void(const std::string& group, std::int64_t boards)> progress;
    /// Told from the thread that plans, whenever a better plan of a group is found or more is proven of what it needs at least. What is
    /// given is plain data: it may be copied and drawn elsewhere. Asking for it changes no plan.
    std::function<void(const PlanSoFar& now)> better;
};

/// Plans the cutting of all parts; marks those that are planned. Every plan has been checked by the verifier of its planner.
[[nodiscard]] CutPlan planCuts(Parts& parts, const ShopRows& rows, const std::vector<meaning::Rate>& rates, const PlanOptions& options = {});

/// Price of one of a stock in the currency of the bill; nothing without a price or a rate.
[[nodiscard]] std::optional<double> priceOfOne(const StockRow& stock, const std::string& currency, const std::vector<meaning::Rate>& rates);

/// "9 boards; at least 9 are needed, so this is the least".
[[nodiscard]] std::string wordsOf(const GroupPlan& group, const std::string& currency);
/// "9 boards so far; at least 8 are needed".
[[nodiscard]] std::string wordsSoFar(const GroupPlan& group, const std::string& currency);

/// "C24, 47 mm, boards".
[[nodiscard]] std::string titleOf(const GroupPlan& group);
/// "47 x 195 x 4800 mm".
[[nodiscard]] std::string sizeOf(const StockRow& stock);
/// "47 x 195 x 3715 mm", "12 x 300/450 x 1200 mm".
[[nodiscard]] std::string sizeOf(const job::PieceView& piece);
/// Millimetres to a tenth: "3715", "12.5".
[[nodiscard]] std::string millimetres(double metres);

} // namespace spanwright::shop

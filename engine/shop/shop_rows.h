// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "engine/job/job.h"
#include "engine/units/unit.h"

namespace spanwright::shop {

using Measure = job::PieceView::Operation::Measure;

/// Prices as stated, or all of them at the same end of their ranges.
enum class PriceEnd : std::uint8_t { Stated, Low, High };

/// A price as stated: money for one of something.
struct Price {
    std::string text;      ///< as written, "3.90 EUR/m", "3.90 EUR/m +- 5 %"; empty: none is stated
    double amount = 0.0;   ///< money for one SI unit of `per`
    double half = 0.0;     ///< so much it may be less or more; never more than `amount`
    units::Dimension per;  ///< a pure number: for each
    std::string currency;  ///< "EUR"
    std::string on, until; ///< dates as 2026-05-04; empty if not stated
    std::string source;    ///< "the job" or the file of prices
    bool unread = false;   ///< something stands there that could not be read, and that has been told
    diag::Place place;
    [[nodiscard]] bool stated() const { return !text.empty(); }
    [[nodiscard]] bool ranged() const { return half > 0.0; }
    [[nodiscard]] double at(PriceEnd end) const { return end == PriceEnd::Low ? amount - half : end == PriceEnd::High ? amount + half : amount; }
};

/// A board or panel that can be bought or is there. SI.
struct StockRow {
    std::string name, material, what;
    double thickness = 0.0, breadth = 0.0, length = 0.0; ///< the length runs along the grain
    double nominalThickness = 0.0, nominalBreadth = 0.0; ///< by which wood is sold; else its sizes
    bool panel = false;
    Price price;
    std::int64_t onHand = 0;
    std::optional<double> waste;
    diag::Place place;
};

struct SawRow {
    bool stated = false;
    bool unread = false; ///< there is a row, and what is wrong with it has been told
    double kerf = 0.004, crossKerf = 0.004, trim = 0.0, plane = 0.0;
    double keepLength = 0.0, keepBreadth = 0.0; ///< 0: nothing that is left counts as usable
};

struct LabourRow {
    std::string operation, what;
    Measure measure = Measure::Count;
    double time = 0.0; ///< s for one m, m² or piece
    std::string timeText;
    Price wage; ///< per s
    diag::Place place;
};

struct ToolRow {
    std::string name, what, operation;
    Measure measure = Measure::Length;
    double life = 0.0, used = 0.0; ///< m, m² or pieces
    std::optional<double> pass;    ///< m: how deep it cuts at once
    Price price;
    diag::Place place;
};

struct ConsumableRow {
    std::string name, what, operation;
    Measure measure = Measure::Area;
    double amount = 1.0;          ///< SI, of `unit`'s dimension, for one m, m² or piece
    units::Unit unit;             ///< what it is counted in: g, l, or a pure number
    std::optional<double> pitch;  ///< m: one every so far, beginning anew at each piece
    std::optional<double> weighs; ///< kg for one SI unit of it; nothing: it weighs nothing that is known
    double loss = 0.0;
    std::optional<double> pack; ///< SI
    Price price;
    diag::Place place;
};

/// Rows that could not be read. Each has a problem of its own, so what merely comes of it is not told again.
struct UnreadRows {
    bool any = false;
    std::vector<StockRow> stock;      ///< as far as they could: without a material or with sizes of 0 where these could not
    std::set<std::string> operations; ///< of labour and consumables; an empty one where it could not be read which
    bool labour = false;              ///< a row of labour is among them
    std::set<std::string> names;      ///< of stock, labour, tools and consumables
};

/// What a job says of its workshop, read and checked; what is wrong is told and left out.
struct ShopRows {
    bool any = false; ///< there is a workshop row at all
    UnreadRows unread;
    std::vector<StockRow> stock;
    SawRow saw;
    std::vector<LabourRow> labour;
    std::vector<ToolRow> tools;
    std::vector<ConsumableRow> consumables;
    double overhead = 0.0, waste = 0.0;
    double moisture = 0.12;
    bool moistureStated = false;
    double liftOfOne = 25.0; ///< kg
    bool liftStated = false;
    std::string currency;                               ///< of the bill; empty: no price anywhere
    std::string date;                                   ///< of the job, if it is one
    std::string priceFile;                              ///< that prices come from; empty: the rows themselves
    std::shared_ptr<const syntax::CsvTable> priceTable; ///< of that file, to find places in it
    std::vector<diag::Diagnostic> problems;
};

/// A file of prices given from outside (`--prices`), instead of the one that the job names.
struct PriceFile {
    std::string name;
    std::string bytes;
};

[[nodiscard]] ShopRows readShopRows(const job::Job& job, const std::optional<PriceFile>& prices = {});

/// Money for one of `price` in the bill's currency; nothing if a rate is missing.
[[nodiscard]] std::optional<double> inCurrency(double amount, const std::string& from, const std::string& to, const std::vector<meaning::Rate>& rates);

/// The complaint about a price whose currency has no rate to that of the bill.
[[nodiscard]] diag::Diagnostic noRate(const Price& price, const std::string& item, const std::string& currency);

/// "m", "m²", "" : what an operation is measured in.
[[nodiscard]] std::string_view measureUnit(Measure m);

/// All that is wrong with prices: undated, expired, or the job has no date. Each is a reason why a total is not proven.
[[nodiscard]] std::vector<diag::Diagnostic> judgePrice(const Price& price, const std::string& item, const std::string& date);

} // namespace spanwright::shop

// SPDX-License-Identifier: MIT
#include "engine/shop/price_list.h"

#include <map>
#include <set>

#include "engine/base/text.h"
#include "engine/shop/clause_reader.h"
#include "engine/shop/money.h"
#include "engine/syntax/csv.h"

namespace spanwright::shop {

using diag::Code;

namespace {

/// What a file may price, and what a price of it is for.
struct Item {
    Price* price = nullptr;
    std::vector<units::Dimension> per;
};

std::map<std::string, Item> itemsOf(ShopRows& rows) {
    const units::Dimension number, length = units::Dimension::of(units::Base::Length);
    std::map<std::string, Item> out;
    for (StockRow& s : rows.stock) out[s.name] = {&s.price, {number, length, length.times(length), length.times(length).times(length)}};
    for (LabourRow& l : rows.labour) out[l.operation] = {&l.wage, {units::Dimension::of(units::Base::Time)}};
    for (ToolRow& t : rows.tools) out[t.name] = {&t.price, {number}};
    for (ConsumableRow& c : rows.consumables) out[c.name] = {&c.price, {c.unit.dimension}};
    return out;
}

/// What stands for a price whose line could not be read.
Price unread() {
    Price out;
    out.unread = true;
    return out;
}

} // namespace

void applyPrices(const std::string& file, const std::string& bytes, ShopRows& rows) {
    const auto table = std::make_shared<const syntax::CsvTable>(syntax::readCsv(file, bytes));
    rows.priceTable = table;
    const syntax::CsvTable& csv = *table;
    for (const diag::Diagnostic& d : csv.diagnostics) rows.problems.push_back(d);
    const auto tell = [&](std::uint32_t row, base::ByteSpan span, std::string message, std::string mend) {
        diag::Diagnostic d;
        d.code = Code::PriceLine;
        d.place = {file, row, span};
        d.message = std::move(message);
        d.mend = std::move(mend);
        rows.problems.push_back(std::move(d));
    };
    std::map<std::string, std::size_t> columns;
    for (std::size_t i = 0; i < csv.columns.size(); ++i) columns.emplace(csv.columns[i].name.text, i);
    if (columns.count("item") == 0 || columns.count("price") == 0) {
        if (csv.diagnostics.empty())
            tell(csv.headRow, {}, "a file of prices has the columns `item` and `price`",
                 "write `item [text], price [text], on [text], until [text]` as its head");
        return;
    }
    const std::map<std::string, Item> items = itemsOf(rows);
    std::vector<std::string> names;
    for (const auto& [name, item] : items) names.push_back(name);
    std::set<std::string> seen;
    for (const syntax::CsvTable::Line& line : csv.lines) {
        const auto cell = [&](const char* column) -> const syntax::CsvCell* {
            const auto found = columns.find(column);
            return found == columns.end() ? nullptr : &line.cells[found->second];
        };
        const syntax::CsvCell& name = *cell("item");
        const auto found = items.find(syntax::canonicalName(name.text));
        if (found == items.end()) {
            if (rows.unread.names.count(syntax::canonicalName(name.text)) > 0) continue; // told at its row
            const auto near = base::nearest(name.text, names);
            tell(line.row, name.span, "the job has no stock, labour, tool or consumable `" + std::string(name.text) + "`",
                 near ? "did you mean `" + *near + "`?" : "take the line out, or name what is in the job");
            continue;
        }
        if (!seen.insert(found->first).second) {
            tell(line.row, name.span, "`" + found->first + "` has a price in this file already", "take one of the lines out");
            continue;
        }
        Price price;
        const syntax::CsvCell& text = *cell("price");
        if (const std::string wrong = readPrice(text.text, price); !wrong.empty()) {
            tell(line.row, text.span, "this price cannot be read: " + wrong, "write a price such as `3.90 EUR/m`");
            *found->second.price = unread();
            continue;
        }
        bool fits = false;
        for (const units::Dimension& d : found->second.per) fits = fits || d == price.per;
        if (!fits) {
            tell(line.row, text.span, "this is a price for another unit than `" + found->first + "` is sold by",
                 "write it as the job does, such as `3.90 EUR/m`");
            *found->second.price = unread();
            continue;
        }
        bool good = true;
        for (const auto& [column, into] : {std::pair<const char*, std::string*>{"on", &price.on}, {"until", &price.until}}) {
            const syntax::CsvCell* date = cell(column);
            if (date == nullptr || date->text.empty()) continue;
            good = good && isDate(date->text);
            if (!isDate(date->text))
                tell(line.row, date->span, "`" + std::string(date->text) + "` is no date", "write it as 2026-05-04");
            else
                *into = std::string(date->text);
        }
        if (!good) price.on.clear();
        price.source = file;
        price.place = {file, line.row, text.span};
        *found->second.price = std::move(price);
    }
}

} // namespace spanwright::shop

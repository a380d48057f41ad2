// SPDX-License-Identifier: MIT
#include "engine/report/case_tables.h"

#include <algorithm>

#include "engine/base/text.h"
#include "engine/report/words.h"
#include "engine/units/format.h"

namespace spanwright::report {

namespace {

using Align = Table::Align;

constexpr std::size_t kMostCases = 240; ///< of one row of a calculation
constexpr std::size_t kRoom = 57;       ///< letters that stand side by side in the middle column
constexpr std::size_t kGap = 2;         ///< letters between columns
constexpr std::size_t kLabel = 10;      ///< letters that a label's column has at least; labels may be broken between words
constexpr std::size_t kFolded = 5;      ///< a list that is longer stands in columns side by side

std::size_t lettersOf(const std::string& s) { return base::utf8Count(s); }

std::size_t longestWord(const std::string& s) {
    std::size_t longest = 0;
    for (std::size_t at = 0; at < s.size();) {
        const std::size_t end = std::min(s.find(' ', at), s.size());
        longest = std::max(longest, lettersOf(s.substr(at, end - at)));
        at = end + 1;
    }
    return longest;
}

Inlines labelOf(const std::string& label, bool worked) { return {worked ? strongText(label) : plainText(label)}; }

/// The axis that makes columns: the one that leaves the fewest rows and whose columns fit.
std::optional<std::size_t> columnsOf(const std::vector<CaseCell>& cases, const std::vector<std::vector<std::string>>& axes) {
    std::size_t cell = 0, all = 1;
    for (const CaseCell& c : cases) cell = std::max(cell, c.wide);
    for (const auto& a : axes) all *= a.size();
    if (axes.empty() || all != cases.size()) return std::nullopt;
    std::optional<std::size_t> best;
    for (std::size_t i = 0; i < axes.size(); ++i) {
        if (axes[i].size() < 2) continue;
        std::size_t wide = 0;
        for (std::size_t o = 0; o < axes.size(); ++o) {
            if (o == i) continue;
            std::size_t label = 0;
            for (const std::string& l : axes[o]) label = std::max(label, longestWord(l) + 2);
            wide += label;
        }
        wide = std::max(wide, kLabel);
        for (const std::string& l : axes[i]) wide += kGap + std::max(cell, longestWord(l));
        if (wide <= kRoom && (!best || axes[i].size() > axes[*best].size())) best = i;
    }
    return best;
}

Table grid(const std::vector<CaseCell>& cases, const std::vector<std::vector<std::string>>& axes, std::size_t across, const std::string& head) {
    Table t;
    t.columns.push_back({head, Align::Left, true});
    for (const std::string& l : axes[across]) t.columns.push_back({l, Align::Right, false});
    std::size_t step = 1; // between cases that differ in the axis across only
    for (std::size_t i = across + 1; i < axes.size(); ++i) step *= axes[i].size();
    const std::size_t block = step * axes[across].size();
    for (std::size_t from = 0; from < cases.size(); from += block) {
        for (std::size_t at = from; at < from + step; ++at) {
            // The labels of the other axes, read off the place.
            std::string label;
            std::size_t rest = at;
            std::vector<std::string> parts;
            for (std::size_t i = axes.size(); i-- > 0;) {
                if (i != across) parts.push_back(axes[i][rest % axes[i].size()]);
                rest /= axes[i].size();
            }
            for (std::size_t i = parts.size(); i-- > 0;) label += (label.empty() ? "" : ", ") + parts[i];
            std::vector<Inlines> row{{plainText(label)}};
            bool worked = false;
            for (std::size_t c = 0; c < axes[across].size(); ++c) {
                const CaseCell& cell = cases[at + c * step];
                worked = worked || cell.worked;
                row.push_back(cell.cell);
            }
            if (worked) row.front() = {strongText(label)};
            t.rows.push_back(std::move(row));
        }
    }
    return t;
}

Table list(const std::vector<CaseCell>& cases, const std::string& head) {
    std::size_t wide = 0;
    for (const CaseCell& c : cases) wide = std::max(wide, lettersOf(c.label) + c.wide + kGap);
    wide = std::max(wide, lettersOf(head) + 6 + kGap);
    const std::size_t beside = cases.size() > kFolded ? std::clamp<std::size_t>((kRoom + kGap) / wide, 1, 3) : 1;
    const std::size_t tall = (cases.size() + beside - 1) / beside;
    Table t;
    for (std::size_t i = 0; i < beside; ++i) {
        t.columns.push_back({"case", Align::Left, true});
        t.columns.push_back({head, Align::Right, false});
    }
    for (std::size_t r = 0; r < tall; ++r) {
        std::vector<Inlines> row;
        for (std::size_t i = 0; i < beside; ++i) {
            const std::size_t at = i * tall + r;
            row.push_back(at < cases.size() ? labelOf(cases[at].label, cases[at].worked) : Inlines{});
            row.push_back(at < cases.size() ? cases[at].cell : Inlines{});
        }
        t.rows.push_back(std::move(row));
    }
    return t;
}

/// What all shown values end in: " kN"; empty where they differ or have none.
std::string commonUnit(const std::vector<CaseFact>& cases) {
    std::string unit;
    for (std::size_t i = 0; i < cases.size(); ++i) {
        const std::string& s = cases[i].shown;
        const std::size_t blank = s.find(' ');
        if (!cases[i].si || blank == std::string::npos) return {};
        const std::string own = s.substr(blank + 1);
        if (i > 0 && own != unit) return {};
        unit = own;
    }
    return unit;
}

} // namespace

std::vector<Block> caseBlocks(const std::vector<CaseCell>& all, const std::vector<std::vector<std::string>>& axes, const std::string& head) {
    std::vector<Block> out;
    if (all.empty()) return out;
    const bool cut = all.size() > kMostCases;
    const std::vector<CaseCell> cases(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(std::min(all.size(), kMostCases)));
    if (const auto across = cut ? std::nullopt : columnsOf(cases, axes))
        out.push_back({grid(cases, axes, *across, head)});
    else
        out.push_back({list(cases, head)});
    if (cut)
        out.push_back(
            {Paragraph{{faintText("the first " + std::to_string(kMostCases) + " of " + std::to_string(all.size()) + "; the JSON output holds all")}}});
    return out;
}

std::vector<Block> valueCases(const RowFact& r) {
    const std::string worked = r.working ? r.working->caseLabel : "";
    const std::string unit = commonUnit(r.cases);
    std::vector<CaseCell> cells;
    cells.reserve(r.cases.size());
    for (const CaseFact& c : r.cases) {
        const std::string shown = unit.empty() ? c.shown : c.shown.substr(0, c.shown.find(' '));
        const bool own = c.label == worked;
        cells.push_back({c.label, {own ? strongText(shown) : plainText(shown)}, lettersOf(shown), own});
    }
    return caseBlocks(cells, r.axes, unit.empty() ? "value" : unit == "in" ? "in inches" : "in " + unit);
}

std::vector<Block> checkCases(const job::CheckView& c, const std::vector<std::vector<std::string>>& axes) {
    if (c.cases.size() < 2) return {};
    std::vector<CaseCell> cells;
    cells.reserve(c.cases.size());
    for (std::size_t i = 0; i < c.cases.size(); ++i) {
        const job::CheckView::Case& k = c.cases[i];
        const bool own = i == c.governingCase;
        const std::string number = k.utilisation ? units::showUtilisation(*k.utilisation) : "";
        const Stamp stamp = stampOf(k.state);
        CaseCell cell{k.label, {}, lettersOf(number) + 3 + stampText(stamp).size(), own};
        if (!number.empty()) cell.cell = {own ? strongText(number + " ") : plainText(number + " ")};
        cell.cell.push_back(boxedWord(stamp));
        cells.push_back(std::move(cell));
    }
    return caseBlocks(cells, axes, c.isRequire ? "holds" : "utilisation");
}

} // namespace spanwright::report

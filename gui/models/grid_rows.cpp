// SPDX-License-Identifier: MIT
#include "gui/models/grid_rows.h"

namespace spanwright::models {

bool isShown(meaning::Kind kind) {
    using meaning::Kind;
    switch (kind) {
    case Kind::Ask:
    case Kind::Given:
    case Kind::Choose:
    case Kind::Each:
    case Kind::List:
    case Kind::Derive:
    case Kind::Check:
    case Kind::Require:
    case Kind::Beam:
    case Kind::Piece: return true;
    case Kind::Condition:
    case Kind::Switch:
    case Kind::Plot:
    case Kind::Schedule:
    case Kind::Sketch: return false;
    }
    return false;
}

std::vector<GridRow> allRows(const meaning::Sheet& sheet) {
    std::vector<GridRow> out;
    const auto add = [&](GridRow row) {
        row.order = static_cast<std::uint32_t>(out.size());
        out.push_back(row);
    };
    constexpr std::uint32_t kNone = 0xffffffffU;
    std::uint32_t part = kNone;
    bool otherwise = false;
    for (const meaning::Quantity& q : sheet.quantities) {
        if (!isShown(q.kind)) continue;
        if (q.part != part) {
            part = q.part;
            otherwise = false;
            if (part < sheet.parts.size() && !sheet.parts[part].title.empty()) add({GridRow::Sort::Part, 0, part, {}, 0});
        }
        if (q.otherwise && !otherwise) add({GridRow::Sort::Otherwise, 0, part, {}, 0});
        otherwise = q.otherwise;
        add({GridRow::Sort::Value, 0, part, q.id, 0});
    }
    return out;
}

std::vector<GridRow> chosenRows(const std::vector<GridRow>& all, const RowChoice& choice) {
    std::vector<GridRow> out;
    std::vector<GridRow> heads; // waiting for a row that is wanted
    for (const GridRow& row : all) {
        if (row.sort == GridRow::Sort::Part) {
            heads.assign(1, row);
            continue;
        }
        if (row.sort == GridRow::Sort::Otherwise) {
            heads.push_back(row);
            continue;
        }
        if (choice.wanted && !choice.wanted(row)) continue;
        const bool folded = choice.folded.count(row.part) > 0;
        for (const GridRow& head : heads)
            if (!folded || head.sort == GridRow::Sort::Part) out.push_back(head);
        heads.clear();
        if (folded) continue;
        out.push_back(row);
        const std::uint32_t cases = choice.cases ? choice.cases(row) : 0;
        for (std::uint32_t i = 0; i < cases; ++i) out.push_back({GridRow::Sort::Case, row.order, row.part, row.quantity, i});
    }
    return out;
}

std::vector<RowStep> stepsBetween(const std::vector<GridRow>& before, const std::vector<GridRow>& after) {
    std::vector<RowStep> steps;
    std::size_t i = 0, j = 0, at = 0; // at: index in the list as it stands
    while (i < before.size() || j < after.size()) {
        if (i < before.size() && j < after.size() && before[i] == after[j]) {
            ++i;
            ++j;
            ++at;
            continue;
        }
        const std::size_t goes = i, comes = j;
        while (i < before.size() && (j == after.size() || before[i] < after[j])) ++i;
        if (i > goes) steps.push_back({false, at, i - goes, 0});
        while (j < after.size() && (i == before.size() || after[j] < before[i])) ++j;
        if (j > comes) {
            steps.push_back({true, at, j - comes, comes});
            at += j - comes;
        }
    }
    return steps;
}

} // namespace spanwright::models

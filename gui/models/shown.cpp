// SPDX-License-Identifier: MIT
#include "gui/models/shown.h"

#include <algorithm>
#include <functional>
#include <optional>
#include <set>
#include <string_view>

#include "engine/shop/cut_plan.h"
#include "engine/units/format.h"

namespace spanwright::models {

namespace {

void mix(std::size_t& hash, std::size_t with) { hash ^= with + 0x9e3779b97f4a7c15ULL + (hash << 6U) + (hash >> 2U); }

std::size_t shapeOf(const meaning::Sheet& sheet) {
    const std::hash<std::string> text;
    std::size_t hash = sheet.quantities.size();
    for (const meaning::Quantity& q : sheet.quantities) {
        mix(hash, static_cast<std::size_t>(q.kind));
        for (const std::string* s : {&q.name, &q.what, &q.unit.shown}) mix(hash, text(*s));
        mix(hash, q.part * 2U + (q.otherwise ? 1U : 0U));
    }
    for (const meaning::Part& part : sheet.parts) mix(hash, text(part.title));
    return hash;
}

std::size_t numbersOf(const eval::Value& value) {
    if (value.many.empty()) return 0;
    const std::string_view bytes(reinterpret_cast<const char*>(value.many.data()), value.many.size() * sizeof(double));
    return std::hash<std::string_view>()(bytes);
}

/// "2 off, 47 x 195 x 3715", "12 off of 3 sizes", "none".
std::string piecesInWords(const job::PieceList& list, const std::string& name) {
    double count = 0;
    std::set<std::string> sizes;
    for (const job::PieceView& p : list.pieces) {
        if (p.name != name) continue;
        count += p.count;
        sizes.insert(shop::sizeOf(p));
    }
    if (sizes.empty()) return "none";
    return units::showNumber(count, {}, {7, {}, {}}) + " off" + (sizes.size() == 1 ? ", " + *sizes.begin() : " of " + std::to_string(sizes.size()) + " sizes");
}

} // namespace

MemberShown lookAt(const job::Job& job, std::size_t member, const std::vector<MemberShown>& others) {
    const job::MemberView& view = job.member(member);
    MemberShown m;
    m.mark = view.mark;
    m.sheetName = view.sheetName;
    if (view.quantities.empty()) return m;
    const meaning::Sheet& sheet = job.sheet(member);
    m.document = sheet.document;
    // Members of one sheet share its shape.
    const auto known = std::find_if(others.begin(), others.end(), [&](const MemberShown& other) { return other.document == sheet.document; });
    m.shape = known != others.end() ? known->shape : shapeOf(sheet);
    m.rows.reserve(view.quantities.size());
    const std::hash<std::string> text;
    std::optional<job::PieceList> pieces;
    const auto& ticks = job.ticks();
    const auto& remarks = job.remarks();
    for (const job::QuantityView& q : view.quantities) {
        Shown s;
        s.shown = q.shown;
        if (sheet.at(q.id).kind == meaning::Kind::Piece && q.state == eval::State::Known) {
            if (!pieces) pieces = job.pieces(member);
            const auto wrong = [&](const diag::Diagnostic& d) { return d.severity == diag::Severity::Error; };
            const bool whole = std::none_of(pieces->problems.begin(), pieces->problems.end(), wrong);
            s.shown = piecesInWords(*pieces, q.name);
            // Where a row is told of, none is not the same as not known.
            if (!whole && s.shown == "none") s.shown = "not computed";
        }
        s.state = q.state;
        s.stated = q.stated;
        s.statedText = q.statedText;
        s.statedFrom = q.statedFrom;
        if (q.tick && *q.tick < ticks.size()) {
            mix(s.review, text(ticks[*q.tick].by + ticks[*q.tick].on + ticks[*q.tick].letters + ticks[*q.tick].changed));
            mix(s.review, static_cast<std::size_t>(ticks[*q.tick].state));
        }
        for (const std::uint32_t r : q.remarks) mix(s.review, text(remarks[r].by + remarks[r].on + remarks[r].text + (remarks[r].open ? "o" : "")));
        s.numbers = numbersOf(job.value(member, q.id));
        m.rows.push_back(std::move(s));
    }
    for (const job::CheckView& c : view.checks) {
        m.rows[c.id.index()].check = c.state;
        m.rows[c.id.index()].utilisation = c.utilisation;
    }
    return m;
}

} // namespace spanwright::models

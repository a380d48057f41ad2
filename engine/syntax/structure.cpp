// SPDX-License-Identifier: MIT
// How rows stand to one another: which row stands in which, and what does not fit.
#include <algorithm>
#include <array>

#include "engine/syntax/structure.h"

#include "engine/syntax/formula_reader.h"
#include "engine/syntax/kinds.h"
#include "engine/syntax/lines.h"
#include "engine/syntax/signs.h"

namespace spanwright::syntax {

using diag::Code;

namespace {

/// One walk over the rows.
class Walk {
public:
    Walk(FileKind kind, std::vector<Row>& rows, std::vector<Document::Misfit>& misfits) : m_job(kind == FileKind::Job), m_rows(rows), m_misfits(misfits) {
        m_first.fill(kNone);
    }

    void run() {
        for (std::uint32_t i = 0; i < m_rows.size(); ++i) {
            if (m_block != kNone && inBlock(i)) continue;
            place(i);
        }
        if (m_block != kNone && opens(m_rows[m_block]) != Block::Table) endMissing({});
        std::stable_sort(m_misfits.begin(), m_misfits.end(), [](const auto& a, const auto& b) { return a.row < b.row; });
    }

private:
    static constexpr std::uint32_t kNone = Row::kNoOwner;

    /// True if row i stands in the open block or closes it.
    bool inBlock(std::uint32_t i) {
        Row& row = m_rows[i];
        bool inside = row.kind == RowKind::Blank || row.kind == RowKind::Comment || row.kind == RowKind::Unknown || row.kind == RowKind::End;
        switch (opens(m_rows[m_block])) {
        case Block::Beam:
            inside = inside || row.kind == RowKind::Stiffness || row.kind == RowKind::Support || row.kind == RowKind::Load || row.kind == RowKind::Note;
            break;
        case Block::Table: inside = inside || row.kind == RowKind::TableLine; break;
        case Block::Sketch: inside = inside || row.kind == RowKind::Mark || row.kind == RowKind::Note; break;
        case Block::None: break;
        }
        if (!inside) {
            endMissing(row->keyword.text);
            m_block = kNone;
            return false;
        }
        row.owner = m_block;
        if (row.kind == RowKind::Unknown) conflict(i);
        if (row.kind == RowKind::End) m_block = kNone;
        return true;
    }

    void place(std::uint32_t i) {
        Row& row = m_rows[i];
        row.owner = m_job ? m_member : m_otherwise != kNone ? m_otherwise : m_part;
        switch (row.kind) {
        case RowKind::Blank:
        case RowKind::Comment: return;
        case RowKind::Unknown: conflict(i); return;
        case RowKind::End: misfit(i, Code::EndAlone, "this `end` closes nothing", "take it out"); return;
        case RowKind::Stiffness:
        case RowKind::Support:
        case RowKind::Load:
            misfit(i, Code::RowMisplaced, "a " + quoted(row->keyword.text) + " stands only in a beam", "put it between `beam NAME from A to B` and its `end`");
            return;
        case RowKind::Part:
            m_part = i;
            m_otherwise = kNone;
            row.owner = kNone;
            return;
        case RowKind::Otherwise: otherwise(i); return;
        case RowKind::Member:
            m_member = i;
            m_off = kNone;
            m_instead = kNone;
            row.owner = kNone;
            return;
        case RowKind::Off:
        case RowKind::Instead:
        case RowKind::With:
            if (m_member == kNone)
                misfit(i, Code::RowMisplaced, "this " + quoted(row->keyword.text) + " stands under no member", "put it under a `member` row");
            else if (row.kind == RowKind::Instead)
                once(i, m_instead, "this member stands in place of two others");
            else if (row.kind == RowKind::Off)
                once(i, m_off, "this member states its count twice");
            return;
        case RowKind::List:
            if (m_job && m_member == kNone) misfit(i, Code::RowMisplaced, "this `list` stands under no member", "put it under a `member` row");
            break;
        case RowKind::Note: return;
        case RowKind::Sketch:
            if (m_job) misfit(i, Code::RowMisplaced, "a `sketch` stands only in a sheet", "move it into the member's sheet");
            break;
        case RowKind::Sheet:
        case RowKind::Title:
        case RowKind::Job:
        case RowKind::Author:
        case RowKind::Checker:
        case RowKind::Revision:
        case RowKind::Date:
        case RowKind::Place:
        case RowKind::Prices:
        case RowKind::Saw:
        case RowKind::Overhead:
        case RowKind::Waste:
        case RowKind::Moisture:
        case RowKind::Currency:
        case RowKind::Lift: once(i, m_first[static_cast<std::size_t>(row.kind)], "there is a second " + quoted(row->keyword.text)); break;
        default: break;
        }
        if (m_job && row.kind != RowKind::List) {
            m_member = kNone;
            row.owner = kNone;
        }
        if (opens(row) != Block::None) m_block = i;
    }

    void otherwise(std::uint32_t i) {
        const bool fits = m_part != kNone && m_otherwise == kNone && m_rows[m_part]->condition.present();
        if (!fits) {
            misfit(i, Code::RowMisplaced,
                   m_otherwise != kNone && m_part != kNone ? "this part has an `otherwise` already" : "this `otherwise` stands in no part with a condition",
                   "put it once into a part that has `only if`");
            return;
        }
        m_rows[i].owner = m_part;
        m_otherwise = i;
    }

    void once(std::uint32_t i, std::uint32_t& first, std::string message) {
        if (first == kNone)
            first = i;
        else
            misfit(i, Code::RowTwice, std::move(message), "take one of them out");
    }

    void conflict(std::uint32_t i) {
        if (m_conflict || !isConflictMark(m_rows[i].text)) return;
        m_conflict = true;
        m_misfits.push_back(
            {i, {Code::ConflictMarks, {0, 7}, "two changes collide here and have not been merged", "choose between the rows and take the marks out"}});
    }

    void endMissing(const std::string& before) {
        const Row& opener = m_rows[m_block];
        const syntax::Spot& called = opener.kind == RowKind::Sketch ? opener->rest : opener->name;
        const std::string name = called.present() ? " " + called.text : std::string{};
        misfit(m_block, Code::EndMissing,
               quoted(opener->keyword.text + name) + " is not closed" + (before.empty() ? std::string{} : " before the next " + quoted(before)),
               "write `end` on a line of its own behind its last row");
    }

    void misfit(std::uint32_t i, Code code, std::string message, std::string mend) {
        m_misfits.push_back({i, {code, m_rows[i]->keyword.span, std::move(message), std::move(mend)}});
    }

    bool m_job;
    std::vector<Row>& m_rows;
    std::vector<Document::Misfit>& m_misfits;
    std::uint32_t m_block = kNone, m_part = kNone, m_otherwise = kNone, m_member = kNone, m_off = kNone, m_instead = kNone;
    std::array<std::uint32_t, static_cast<std::size_t>(RowKind::Lift) + 1> m_first{};
    bool m_conflict = false;
};

/// A word that row binds for itself: a parameter, or the variable of a range.
[[nodiscard]] bool bindsItself(const Row& row, const std::string& word) {
    const auto parameter = [&](const RowParts::Parameter& p) { return p.name.text == word; };
    const auto variable = [&](const Node& n) { return n.kind == NodeKind::Range && n.text == word; };
    const auto in = [&](const Formula& f) { return std::any_of(f.nodes.begin(), f.nodes.end(), variable); };
    return std::any_of(row->parameters.begin(), row->parameters.end(), parameter) || in(row->formula) || in(row->range);
}

} // namespace

std::string_view definesUnit(const Row& row) {
    switch (row.kind) {
    case RowKind::Ask:
    case RowKind::Given:
    case RowKind::Choose:
    case RowKind::Each:
    case RowKind::Derive:
    case RowKind::Define: return isCommonUnit(row->name.text) ? std::string_view(row->name.text) : std::string_view{};
    default: return {};
    }
}

void weighDoubts(Row& row, const std::vector<std::string>& ownUnits) {
    if (row->doubts.empty()) return;
    std::vector<Complaint> complaints = row->complaints;
    std::erase_if(complaints, [](const Complaint& c) { return c.code == Code::CompoundUnitBare; });
    for (const Complaint& doubt : row->doubts) {
        const TokenRow words(doubt.span.of(row.text));
        bool own = false;
        bool unit = true; // the first word is the unit itself
        for (std::size_t i = 0; i < words.size(); ++i) {
            if (!words.is(i, TokenKind::Word)) continue;
            const std::string word = canonicalName(words.at(i));
            own = own || (!unit && (bindsItself(row, word) || std::find(ownUnits.begin(), ownUnits.end(), word) != ownUnits.end()));
            unit = false;
        }
        if (!own) complaints.push_back(doubt);
    }
    if (complaints == row->complaints) return;
    auto parts = std::make_shared<RowParts>(*row.parts);
    parts->complaints = std::move(complaints);
    row.parts = std::move(parts);
}

void Document::settle(bool everything) {
    m_unsettled = false;
    m_misfits.clear();
    Walk(m_kind, m_rows, m_misfits).run();
    std::vector<std::string> ownUnits;
    for (const Row& row : m_rows) {
        const std::string_view unit = definesUnit(row);
        if (!unit.empty() && std::find(ownUnits.begin(), ownUnits.end(), unit) == ownUnits.end()) ownUnits.emplace_back(unit);
    }
    std::sort(ownUnits.begin(), ownUnits.end());
    if (ownUnits == m_ownUnits && !everything) return;
    m_ownUnits = std::move(ownUnits);
    for (Row& row : m_rows) weighDoubts(row, m_ownUnits);
}

} // namespace spanwright::syntax

// SPDX-License-Identifier: MIT
// What a member is cut from, worked out as numbers.
#include <cmath>

#include "engine/base/text.h"
#include "engine/job/core.h"
#include "engine/units/format.h"

namespace spanwright::job {

using eval::State;
using eval::Value;
using meaning::ExprId;
using meaning::PieceDefinition;

namespace {

/// A list of a million rows must not make a million pieces to draw.
constexpr std::size_t kMostPieces = 10'000;
constexpr double kMostCount = 1e6;
constexpr double kFarthest = 1e3; ///< metres: nothing that is cut is longer

/// Works out the piece rows of one member.
class Cutter {
public:
    Cutter(const Core& core, std::uint32_t slot) : m_core(core), m_slot(slot), m_member(core.at(slot)), m_sheet(*m_member.sheet->sheet) {}

    [[nodiscard]] PieceList cut() {
        for (const meaning::Quantity& q : m_sheet.quantities) {
            if (q.kind != Kind::Piece) continue;
            m_list.named = true;
            m_q = &q;
            if (q.broken) continue; // told by the sheet
            const State state = m_member.values.at(q.id).state;
            if (state == State::NotApplicable) continue;
            if (state != State::Known) {
                tell(diag::Code::PieceUnknown, "the piece " + quoted(q.name) + " cannot be worked out", reasonOf(q.condition));
                continue;
            }
            row(m_sheet.pieces[q.plot]);
        }
        return std::move(m_list);
    }

private:
    void row(const PieceDefinition& piece) {
        m_label.clear();
        std::size_t rows = 1;
        const Value* axis = nullptr;
        if (piece.axis.valid()) {
            axis = &m_member.values.at(piece.axis);
            if (!axis->known()) return unknown(piece.axis);
            rows = m_member.values.axisSize(piece.axis);
        }
        for (std::size_t r = 0; r < rows; ++r) {
            m_row = r;
            if (axis != nullptr && axis->table) m_label = axis->table->rowLabel(static_cast<std::uint32_t>(r));
            if (m_list.pieces.size() >= kMostPieces)
                return tell(diag::Code::PieceUnknown, "a member has at most 10,000 different pieces", "take rows out of its lists");
            if (!one(piece)) return;
        }
    }

    /// False when the row cannot be worked out, with the reason told.
    bool one(const PieceDefinition& piece) {
        if (piece.onlyIf.valid()) {
            double holds = 0.0;
            if (!number(piece.onlyIf, holds)) return false;
            if (holds == 0.0) return true;
        }
        PieceView out;
        out.name = m_q->name;
        out.what = m_q->what;
        out.label = m_label;
        out.place = m_sheet.document->place(m_q->row, (*m_sheet.document).rows()[m_q->row]->name.span);
        if (!number(piece.count, out.count)) return false;
        if (out.count == 0.0) return true;
        if (out.count < 0.0 || out.count > kMostCount || std::fabs(out.count - std::round(out.count)) > 1e-9) {
            tell(diag::Code::PieceCount, "there cannot be " + units::writeValue(out.count, {}) + " of the piece " + called(),
                 "its count must come out as a whole number from 0 to 1000000");
            return false;
        }
        out.count = std::round(out.count);
        double* sizes[] = {&out.thickness, &out.breadth, &out.length};
        for (std::size_t i = 0; i < 3; ++i)
            if (!size(piece.sizes[i], *sizes[i])) return false;
        out.breadthEnd = out.breadth;
        if (piece.breadthEnd.valid() && !size(piece.breadthEnd, out.breadthEnd)) return false;
        if (!material(piece, out) || !grain(piece, out)) return false;
        if (piece.density.valid()) {
            double density = 0.0;
            if (!number(piece.density, density)) return false;
            out.density = density;
            out.densitySource = "the sheet";
        }
        if (piece.deep.valid()) {
            double deep = 0.0;
            if (!number(piece.deep, deep)) return false;
            out.deep = deep;
        }
        if (piece.at.valid()) {
            double place = 0.0;
            if (!number(piece.at, place)) return false;
            out.at = place;
        }
        for (const PieceDefinition::Operation& o : piece.operations) {
            PieceView::Operation operation{o.name, o.measure, out.length};
            if (o.amount.valid() && !number(o.amount, operation.amount)) return false;
            if (operation.amount < 0.0) {
                tell(diag::Code::PieceSize, "the operation " + quoted(o.name) + " of the piece " + called() + " comes out below zero", "see its formula");
                return false;
            }
            if (operation.amount > 0.0) out.operations.push_back(std::move(operation));
        }
        m_list.pieces.push_back(std::move(out));
        return true;
    }

    [[nodiscard]] std::string called() const { return quoted(m_q->name) + (m_label.empty() ? std::string() : " (" + m_label + ")"); }

    bool size(ExprId id, double& out) {
        if (!number(id, out)) return false;
        if (out > 0.0 && out <= kFarthest) return true;
        tell(diag::Code::PieceSize,
             "a size of the piece " + called() + " comes out as " + units::showValue(out, m_core.unitOf(*m_member.sheet, id), {}) +
                 ": a piece is larger than nothing and no longer than 1 km",
             "see its formula, or make its count 0 where there is no such piece");
        return false;
    }

    bool material(const PieceDefinition& piece, PieceView& out) {
        for (const PieceDefinition::Stock& s : piece.stock) {
            std::string word = s.word;
            if (s.choice.valid()) {
                const Value& v = m_member.values.at(s.choice);
                if (!v.known() || !v.table) {
                    unknown(s.choice);
                    return false;
                }
                const auto r = static_cast<std::uint32_t>(v.one);
                word = v.table->rowLabel(r);
                if (const auto column = v.table->column("rho_mean"); column && !out.density && !v.table->columns[*column].text) {
                    out.density = v.table->cells[*column][r];
                    out.densitySource = "rho_mean of " + word + " in " + v.table->name;
                }
            }
            out.material += (out.material.empty() ? "" : " ") + word;
        }
        return true;
    }

    bool grain(const PieceDefinition& piece, PieceView& out) {
        out.grain = piece.grain;
        if (piece.grain != PieceDefinition::Grain::Chosen) return true;
        const Value& v = m_member.values.at(piece.grainChoice);
        if (!v.known() || !v.table) {
            unknown(piece.grainChoice);
            return false;
        }
        const std::string word = v.table->rowLabel(static_cast<std::uint32_t>(v.one));
        if (word == "along")
            out.grain = PieceDefinition::Grain::Along;
        else if (word == "across")
            out.grain = PieceDefinition::Grain::Across;
        else if (word == "free")
            out.grain = PieceDefinition::Grain::Free;
        else {
            tell(diag::Code::PieceUnknown, "the grain of the piece " + called() + " cannot run " + quoted(word), "the keys are along, across and free");
            return false;
        }
        return true;
    }

    bool number(ExprId id, double& out) {
        const RowNumber n = numberInRow(m_member, id, m_row);
        if (n.value) {
            out = *n.value;
            return true;
        }
        if (n.unknown.valid())
            unknown(n.unknown);
        else
            tell(diag::Code::PieceUnknown, "the piece " + called() + " cannot be worked out: " + n.reason, {});
        return false;
    }

    [[nodiscard]] std::string reasonOf(QuantityId read) const { return read.valid() ? m_core.reasonOf(m_slot, {m_slot, read.value}) : std::string(); }

    void unknown(QuantityId read) {
        const std::string name = m_sheet.at(read).name;
        const Value& v = m_member.values.at(read);
        const std::string why = v.state == State::NotStated ? quoted(name) + " is not stated" : reasonOf(read);
        tell(diag::Code::PieceUnknown, "the piece " + called() + " cannot be worked out: " + why, "mend that first");
    }

    void tell(diag::Code code, std::string message, std::string mend) {
        diag::Diagnostic d;
        d.code = code;
        d.place = m_sheet.document->place(m_q->row, (*m_sheet.document).rows()[m_q->row]->name.span);
        d.message = std::move(message);
        d.mend = std::move(mend);
        d.member = m_core.m_single ? std::string() : m_member.mark;
        m_list.problems.push_back(std::move(d));
    }

    const Core& m_core;
    std::uint32_t m_slot;
    const Member& m_member;
    const meaning::Sheet& m_sheet;
    const meaning::Quantity* m_q = nullptr;
    std::size_t m_row = 0;
    std::string m_label;
    PieceList m_list;
};

} // namespace

PieceList Core::pieces(std::uint32_t slot) const {
    const Member& m = at(slot);
    if (m.sheet == nullptr || !m.sheet->sheet) return {};
    return Cutter(*this, slot).cut();
}

base::Result<std::string, diag::Diagnostic> Core::readBeside(const std::string& path, const diag::Place& where) const {
    const auto refuse = [&](diag::Code code, std::string message, std::string mend) {
        return base::Failure{diag::Diagnostic{code, diag::Severity::Error, where, std::move(message), {}, {}, std::move(mend), {}}};
    };
    const auto joined = io::pathBelow(m_folder, path);
    if (!joined.ok()) return refuse(diag::Code::PathOutside, quoted(path) + " cannot be used: " + joined.error().message, "name a file below the job's folder");
    if (!io::isBelow(m_folder, joined.value()))
        return refuse(diag::Code::PathOutside, quoted(path) + " is a link that leads out of its folder", "name a file below the job's folder");
    auto bytes = m_files.read(joined.value());
    if (!bytes.ok()) {
        diag::Diagnostic d = fileProblem(bytes.error(), path);
        d.place = where;
        d.message = quoted(path) + ": " + d.message;
        return base::Failure{std::move(d)};
    }
    if (!base::isUtf8(bytes.value()) || bytes.value().find('\0') != std::string::npos)
        return refuse(diag::Code::FileNotText, quoted(path) + " is not UTF-8 text", "save it as plain text in UTF-8");
    return std::move(bytes).value();
}

} // namespace spanwright::job

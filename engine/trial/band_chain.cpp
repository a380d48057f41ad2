// SPDX-License-Identifier: MIT
#include "engine/trial/band_chain.h"

#include <algorithm>
#include <cmath>

namespace spanwright::trial {

using eval::Band;
using job::ExtractRef;
using job::ExtractRow;
using meaning::Kind;
using meaning::Quantity;
using meaning::QuantityId;

bool BandChain::applies(std::uint32_t member, const Quantity& q) const {
    if (!q.condition.valid()) return true;
    const auto& values = *m_trial.extract().members[member].values;
    if (m_unknown[member][q.condition.index()] != 0) return false;
    double low = 0.0, high = 0.0;
    if (const Bands* b = m_pointers[member][q.condition.index()]) {
        low = b->front().low;
        high = b->front().high;
    } else {
        if (!values.at(q.condition).known()) return false;
        low = high = values.at(q.condition).data()[0];
    }
    if (low <= 0.0 && high >= 0.0 && low != high) return false; // undecided
    return (low != 0.0) != q.otherwise;
}

std::optional<BandChain::Bands> BandChain::bandsOf(const ExtractRow& row, const std::vector<Band>& box) {
    const job::Extract& x = m_trial.extract();
    const bool ofJob = row.at.member == ExtractRef::kJob;
    if (row.how == ExtractRow::How::Fixed || row.how == ExtractRow::How::List) return std::nullopt;
    if (!ofJob && !applies(row.at.member, x.members[row.at.member].sheet->at(row.at.id))) return std::nullopt;
    const auto limited = [&](Bands b) -> std::optional<Bands> {
        if (ofJob) return b;
        const Quantity& q = x.members[row.at.member].sheet->at(row.at.id);
        auto& program = m_programs[x.members[row.at.member].sheet.get()];
        for (const meaning::ExprId e : {q.low, q.high}) {
            if (!e.valid()) continue;
            const auto limit = program->formula(q, e, *x.members[row.at.member].values, m_pointers[row.at.member]);
            if (!limit || b.size() != 1) return std::nullopt;
            if (e == q.low ? b.front().low < limit->front().high : b.front().high > limit->front().low) return std::nullopt;
        }
        return b;
    };
    if (!ofJob) {
        auto& program = m_programs[x.members[row.at.member].sheet.get()];
        if (!program) program = std::make_unique<eval::BandProgram>(x.members[row.at.member].sheet);
    }
    switch (row.how) {
    case ExtractRow::How::Varied:
        for (std::size_t k = 0; k < x.varied.size(); ++k)
            if (x.varied[k] == row.at) return limited({box[k]});
        return std::nullopt;
    case ExtractRow::How::Stated: return row.stated.known() ? limited({{row.stated.one, row.stated.one}}) : std::nullopt;
    case ExtractRow::How::Link: {
        std::vector<const eval::Value*> fixed;
        std::vector<const Bands*> varying;
        for (const ExtractRow::Reference& r : row.references) {
            fixed.push_back(&r.fixed);
            varying.push_back(nullptr);
            if (!r.varies) {
                if (!r.fixed.known()) return std::nullopt;
                continue;
            }
            const bool given = r.at.member == ExtractRef::kJob;
            const bool unknown = given ? m_givenUnknown[r.at.id.index()] != 0 : m_unknown[r.at.member][r.at.id.index()] != 0;
            varying.back() = unknown ? nullptr : given ? &m_given[r.at.id.index()] : m_pointers[r.at.member][r.at.id.index()];
            if (varying.back() == nullptr || varying.back()->size() != 1) return std::nullopt;
        }
        const auto b = eval::linkBand(*row.link, fixed, varying);
        return b ? limited({*b}) : std::nullopt;
    }
    default: break;
    }
    const job::ExtractMember& m = x.members[row.at.member];
    const Quantity& q = m.sheet->at(row.at.id);
    for (const QuantityId read : q.reads)
        if (m_unknown[row.at.member][read.index()] != 0) return std::nullopt;
    auto& program = m_programs[m.sheet.get()];
    switch (q.kind) {
    case Kind::Derive:
    case Kind::Condition: return program->formula(q, q.formula, *m.values, m_pointers[row.at.member]);
    case Kind::Given: {
        auto b = program->formula(q, q.formula, *m.values, m_pointers[row.at.member]);
        return b ? limited(*std::move(b)) : std::nullopt;
    }
    case Kind::Check: {
        // Left bands of all cases, then right ones.
        auto left = program->formula(q, q.formula, *m.values, m_pointers[row.at.member]);
        auto right = q.right.valid() ? program->formula(q, q.right, *m.values, m_pointers[row.at.member]) : std::nullopt;
        if (!left || !right || left->size() != right->size() || left->empty()) return std::nullopt;
        left->insert(left->end(), right->begin(), right->end());
        return left;
    }
    default: return std::nullopt;
    }
}

std::vector<std::optional<double>> BandChain::utilisations(const std::vector<Band>& box) {
    const job::Extract& x = m_trial.extract();
    m_of.resize(x.members.size());
    m_pointers.resize(x.members.size());
    m_unknown.resize(x.members.size());
    for (std::size_t m = 0; m < x.members.size(); ++m) {
        m_of[m].resize(x.members[m].sheet->quantities.size());
        m_pointers[m].assign(x.members[m].sheet->quantities.size(), nullptr);
        m_unknown[m].assign(x.members[m].sheet->quantities.size(), 0);
    }
    m_given.assign(x.givens.size(), {});
    m_givenUnknown.assign(x.givens.size(), 0);
    for (const ExtractRow& row : x.rows) {
        auto b = bandsOf(row, box);
        if (row.at.member == ExtractRef::kJob) {
            m_givenUnknown[row.at.id.index()] = b ? 0 : 1;
            if (b) m_given[row.at.id.index()] = *std::move(b);
            continue;
        }
        const std::size_t at = row.at.id.index();
        // What varies and has no band must not be taken for what stands: whoever reads it has none either.
        m_unknown[row.at.member][at] = b ? 0 : 1;
        if (!b) continue;
        m_of[row.at.member][at] = std::make_unique<Bands>(*std::move(b));
        m_pointers[row.at.member][at] = m_of[row.at.member][at].get();
    }
    std::vector<std::optional<double>> out(m_trial.checks().size());
    for (std::size_t c = 0; c < out.size(); ++c) {
        const CheckName& name = m_trial.checks()[c];
        const Bands* b = m_pointers[name.member][name.id.index()];
        if (name.isRequire || b == nullptr) continue;
        const Quantity& q = x.members[name.member].sheet->at(name.id);
        const std::size_t n = b->size() / 2;
        const bool upward = q.relation == syntax::Op::Greater || q.relation == syntax::Op::GreaterEqual;
        if (q.relation == syntax::Op::Equal || q.relation == syntax::Op::NotEqual) continue;
        std::optional<double> worst;
        bool fine = true;
        for (std::size_t i = 0; i < n && fine; ++i) {
            const Band demand = upward ? (*b)[n + i] : (*b)[i], capacity = upward ? (*b)[i] : (*b)[n + i];
            fine = capacity.low > 0.0;
            const auto u = fine ? eval::quotient(demand, capacity) : std::nullopt;
            fine = u.has_value();
            if (fine) worst = std::max(worst.value_or(-HUGE_VAL), u->high);
        }
        if (fine) out[c] = worst;
    }
    return out;
}

} // namespace spanwright::trial

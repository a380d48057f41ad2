// SPDX-License-Identifier: MIT
#include "engine/trial/formula.h"

#include <cmath>

#include "engine/base/text.h"

namespace spanwright::trial {

using diag::Code;
using diag::Diagnostic;

base::Result<FreeFormula, Diagnostic> FreeFormula::read(const job::Job& job, const std::string& mark, const std::string& text) {
    // Read as the formula of a row, so that it has the one grammar.
    const auto document = std::make_shared<const syntax::Document>(syntax::Document::read("--by", syntax::FileKind::Sheet, "derive order = " + text));
    if (document->rows().size() != 1 || !document->rows().front()->complaints.empty()) {
        const auto& complaints = document->rows().front()->complaints;
        return base::Failure<Diagnostic>{
            trialFault(complaints.empty() ? Code::FormulaUnexpected : complaints.front().code, job.path(),
                       "the formula `" + text + "`: " + (complaints.empty() ? "it must stand on one line" : complaints.front().message),
                       "write a formula over the member's rows, such as `b*h`")};
    }
    const meaning::FindReference find = [&](std::string_view member, std::string_view name,
                                            std::vector<std::string>& near) -> std::optional<meaning::Reference> {
        const std::string of = member.empty() ? mark : std::string(member);
        const auto index = job.memberByMark(of);
        if (!index) {
            for (std::size_t i = 0; i < job.memberCount(); ++i) near.push_back(job.member(i).mark);
            return std::nullopt;
        }
        const meaning::Quantity* q = job.sheet(*index).find(name);
        if (q == nullptr) {
            for (const meaning::Quantity& other : job.sheet(*index).quantities)
                if (!other.name.empty()) near.push_back(other.name);
            return std::nullopt;
        }
        meaning::Reference r;
        r.member = of;
        r.quantity = q->id;
        r.dimension = q->dimension;
        r.tag = syntax::Tag::None;
        r.type = q->type;
        r.unit = q->unit;
        r.show = q->show;
        r.path = std::string(name);
        return r;
    };
    FreeFormula out;
    meaning::TextPool texts;
    std::vector<Diagnostic> told;
    auto link = meaning::analyseLink(document->rows().front()->formula, *document, 0, nullptr, find, texts, told);
    if (!link) {
        return base::Failure<Diagnostic>{trialFault(told.empty() ? Code::FormulaUnexpected : told.front().code, job.path(),
                                                    "the formula `" + text + "`: " + (told.empty() ? "it cannot be read" : told.front().message),
                                                    told.empty() ? "write a formula over the member's rows, such as `b*h`" : told.front().mend)};
    }
    out.m_unit = units::habitualUnit(link->exprs.at(link->root).dimension);
    for (const meaning::Reference& r : link->references) out.m_reads.push_back({r.member, job.sheet(*job.memberByMark(r.member)).at(r.quantity).name});
    out.m_link = std::make_shared<const meaning::Link>(*std::move(link));
    out.m_program = std::make_shared<eval::LinkProgram>(out.m_link);
    return out;
}

std::optional<double> FreeFormula::value(const std::vector<double>& values) {
    std::vector<eval::Value> held(values.size());
    std::vector<const eval::Value*> pointers;
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isnan(values[i])) return std::nullopt;
        held[i].state = eval::State::Known;
        held[i].one = values[i];
        pointers.push_back(&held[i]);
    }
    const eval::Value v = m_program->evaluate(pointers);
    if (!v.known()) return std::nullopt;
    return v.one;
}

} // namespace spanwright::trial

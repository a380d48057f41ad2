// SPDX-License-Identifier: MIT
#include "engine/trial/formula.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/base/text.h"

namespace spanwright::trial {

using diag::Code;
using diag::Diagnostic;

namespace {

/// What a choice chooses from; rows that its job states go before those of the sheet.
std::shared_ptr<const meaning::Table> tableOf(const job::Job& job, std::size_t member, const meaning::Quantity& choice) {
    if (choice.list.valid() && job.value(member, choice.list).table) return job.value(member, choice.list).table;
    return choice.table;
}

} // namespace

base::Result<FreeFormula, Diagnostic> FreeFormula::read(const job::Job& job, const ValueName& over, const std::string& text) {
    // Read as the formula of a row, so that it has the one grammar.
    const auto document = std::make_shared<const syntax::Document>(syntax::Document::read("--by", syntax::FileKind::Sheet, "derive order = " + text));
    if (document->rows().size() != 1 || !document->rows().front()->complaints.empty()) {
        const auto& complaints = document->rows().front()->complaints;
        return base::Failure<Diagnostic>{
            trialFault(complaints.empty() ? Code::FormulaUnexpected : complaints.front().code, job.path(),
                       "the formula `" + text + "`: " + (complaints.empty() ? "it must stand on one line" : complaints.front().message),
                       "write a formula over the member's rows, such as `b*h`")};
    }
    FreeFormula out;
    const auto chooser = job.memberByMark(over.mark);
    const meaning::Quantity* varied = chooser ? job.sheet(*chooser).find(over.name) : nullptr;
    if (varied != nullptr && varied->kind == meaning::Kind::Choose) out.m_table = tableOf(job, *chooser, *varied);
    std::map<std::string, Source> fields; // by the path that names them
    const auto field = [&](std::size_t member, const meaning::Quantity& choice, std::string_view name, const std::string& path,
                           std::vector<std::string>& near) -> std::optional<meaning::Reference> {
        const auto table = tableOf(job, member, choice);
        const auto column = table ? table->column(name) : std::nullopt;
        if (!column || table->columns[*column].text) {
            for (std::size_t c = 0; table && c < table->columns.size(); ++c)
                if (!table->columns[c].text) near.push_back(table->columns[c].name);
            return std::nullopt;
        }
        Source s{Source::Sort::Field, *column, 0.0};
        if (&choice != varied) {
            // A choice that follows the one that is varied has no one row.
            const auto follow = job.downstream(*chooser, varied == nullptr ? choice.id : varied->id);
            const eval::Value& row = job.value(member, choice.id);
            const auto moves = [&](const auto& at) { return at.first == member && at.second == choice.id; };
            if (!row.known() || !choice.axes.empty() || std::any_of(follow.begin(), follow.end(), moves)) return std::nullopt;
            s = {Source::Sort::Fixed, 0, table->cells[*column].at(static_cast<std::size_t>(row.one))};
        }
        fields[path] = s;
        meaning::Reference r;
        r.member = job.member(member).mark;
        r.quantity = choice.id;
        r.dimension = table->columns[*column].unit.dimension;
        r.unit = table->columns[*column].unit;
        return r;
    };
    const meaning::FindReference find = [&](std::string_view member, std::string_view name,
                                            std::vector<std::string>& near) -> std::optional<meaning::Reference> {
        const std::string of = member.empty() ? over.mark : std::string(member);
        const auto index = job.memberByMark(of);
        if (!index) {
            const meaning::Quantity* choice = chooser ? job.sheet(*chooser).find(of) : nullptr;
            if (choice != nullptr && choice->kind == meaning::Kind::Choose) return field(*chooser, *choice, name, of + "." + std::string(name), near);
            for (std::size_t i = 0; i < job.memberCount(); ++i) near.push_back(job.member(i).mark);
            return std::nullopt;
        }
        const meaning::Quantity* q = job.sheet(*index).find(name);
        if (q == nullptr) {
            if (member.empty() && out.m_table)
                if (auto found = field(*index, *varied, name, std::string(name), near)) return found;
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
    meaning::TextPool texts;
    std::vector<Diagnostic> told;
    auto link = meaning::analyseLink(document->rows().front()->formula, *document, 0, nullptr, find, texts, told);
    if (!link) {
        return base::Failure<Diagnostic>{trialFault(told.empty() ? Code::FormulaUnexpected : told.front().code, job.path(),
                                                    "the formula `" + text + "`: " + (told.empty() ? "it cannot be read" : told.front().message),
                                                    told.empty() ? "write a formula over the member's rows, such as `b*h`" : told.front().mend)};
    }
    out.m_unit = units::habitualUnit(link->exprs.at(link->root).dimension);
    for (const meaning::Reference& r : link->references) {
        if (const auto f = fields.find(r.path); f != fields.end()) {
            out.m_sources.push_back(f->second);
            continue;
        }
        out.m_sources.push_back({Source::Sort::Row, out.m_reads.size(), 0.0});
        out.m_reads.push_back({r.member, job.sheet(*job.memberByMark(r.member)).at(r.quantity).name});
    }
    out.m_link = std::make_shared<const meaning::Link>(*std::move(link));
    out.m_program = std::make_shared<eval::LinkProgram>(out.m_link);
    return out;
}

std::optional<double> FreeFormula::value(const std::vector<double>& values, double option) {
    std::vector<eval::Value> held(m_sources.size());
    std::vector<const eval::Value*> pointers;
    for (std::size_t i = 0; i < m_sources.size(); ++i) {
        const Source& s = m_sources[i];
        double v = s.fixed;
        if (s.sort == Source::Sort::Row) v = values[s.index];
        if (s.sort == Source::Sort::Field) {
            if (!(option >= 0.0) || option >= static_cast<double>(m_table->rowCount())) return std::nullopt;
            v = m_table->cells[s.index][static_cast<std::size_t>(option)];
        }
        if (std::isnan(v)) return std::nullopt;
        held[i].state = eval::State::Known;
        held[i].one = v;
        pointers.push_back(&held[i]);
    }
    const eval::Value v = m_program->evaluate(pointers);
    if (!v.known()) return std::nullopt;
    return v.one;
}

} // namespace spanwright::trial

// SPDX-License-Identifier: MIT
#include <cmath>
#include <nlohmann/json.hpp>

#include "engine/report/clean.h"
#include "engine/report/words.h"
#include "engine/report/write.h"

namespace spanwright::report {

namespace {

using Json = nlohmann::ordered_json;

/// Texts keep their line feeds here: JSON escapes them.
Json text(std::string_view s) { return cleaned(s, true); }

Json number(double v) { return std::isfinite(v) ? Json(v) : Json(nullptr); }
Json number(const std::optional<double>& v) { return v ? number(*v) : Json(nullptr); }

Json texts(const std::vector<std::string>& list) {
    Json out = Json::array();
    for (const std::string& s : list) out.push_back(text(s));
    return out;
}

std::string_view checkState(job::CheckView::State s) {
    using State = job::CheckView::State;
    switch (s) {
    case State::Passes: return "passes";
    case State::Fails: return "fails";
    case State::NotProven: return "not proven";
    case State::NotComputed: return "not computed";
    case State::NotApplicable: return "not applicable";
    }
    return "not computed";
}

Json coverJson(const job::Cover& c) {
    return {{"title", text(c.title)}, {"author", text(c.author)}, {"checker", text(c.checker)}, {"revision", text(c.revision)},
            {"date", text(c.date)},   {"place", text(c.place)},   {"notes", texts(c.notes)}};
}

Json rowJson(const MemberFacts& m, const RowFact& r) {
    Json cases = Json::array();
    for (const CaseFact& c : r.cases) cases.push_back({{"case", text(c.label)}, {"si", number(c.si)}, {"shown", text(c.shown)}});
    return {{"name", text(r.view.name)},
            {"kind", kindWord(r.kind)},
            {"part", r.part < m.parts.size() ? text(m.parts[r.part].title) : Json("")},
            {"what", text(r.view.what)},
            {"source", text(r.view.source)},
            {"note", text(r.view.note)},
            {"state", stateWord(r.view.state)},
            {"reason", text(r.view.reason)},
            {"stated", r.view.stated},
            {"assumed", r.view.assumed},
            {"overridden", r.view.overridden},
            {"formula", text(r.formula)},
            {"si", number(r.si)},
            {"si_unit", text(r.siUnit)},
            {"shown", text(r.view.shown)},
            {"unit", text(r.view.unitShown)},
            {"cases", std::move(cases)}};
}

Json checkJson(const MemberFacts& m, const job::CheckView& c) {
    Json cases = Json::array();
    for (const job::CheckView::Case& k : c.cases) {
        const bool computed = k.state != job::CheckView::State::NotComputed && k.state != job::CheckView::State::NotApplicable && !c.isRequire;
        cases.push_back({{"case", text(k.label)},
                         {"left_si", computed ? number(k.left) : Json(nullptr)},
                         {"right_si", computed ? number(k.right) : Json(nullptr)},
                         {"utilisation", number(k.utilisation)},
                         {"state", checkState(k.state)}});
    }
    std::string formula;
    for (const RowFact& r : m.rows) {
        if (r.view.id == c.id) formula = r.formula;
    }
    return {{"name", text(c.name)},
            {"kind", c.isRequire ? "require" : "check"},
            {"what", text(c.what)},
            {"source", text(c.source)},
            {"note", text(c.note)},
            {"formula", text(formula)},
            {"left", text(c.leftShown)},
            {"right", text(c.rightShown)},
            {"utilisation", number(c.utilisation)},
            {"governing_case", text(c.governingLabel)},
            {"state", checkState(c.state)},
            {"reason", text(c.reason)},
            {"cases", std::move(cases)}};
}

Json memberJson(const MemberFacts& m) {
    Json quantities = Json::array();
    for (const RowFact& r : m.rows) {
        if (!r.view.name.empty()) quantities.push_back(rowJson(m, r));
    }
    Json checks = Json::array();
    for (const job::CheckView& c : m.view.checks) checks.push_back(checkJson(m, c));
    Json assumptions = Json::array();
    for (const job::Assumption& a : m.view.assumptions) assumptions.push_back({{"name", text(a.name)}, {"what", text(a.what)}, {"shown", text(a.shown)}});
    const job::CheckView* governing = m.view.governing ? &m.view.checks[*m.view.governing] : nullptr;
    Json mends = Json::array();
    if (m.mends)
        for (const trial::Mend& mend : m.mends->mends)
            mends.push_back({{"name", text(mend.name.name)},
                             {"now", text(mend.nowShown)},
                             {"passes_with", text(mend.text)},
                             {"nearest", text(mend.written)},
                             {"verdict", stampText(stampOf(mend.reached))}});
    return {{"mark", text(m.view.mark)},
            {"purpose", text(m.view.purpose)},
            {"sheet", text(m.view.sheetName)},
            {"title", text(m.view.sheetTitle)},
            {"basis", texts(m.basis)},
            {"count", number(m.view.count)},
            {"section", text(m.view.sectionShown)},
            {"span", text(m.view.spanShown)},
            {"verdict", stampText(stampOf(m.view.verdict))},
            {"reasons", texts(m.view.reasons)},
            {"mends", std::move(mends)},
            {"notes", texts(m.notes)},
            {"governing", governing ? text(governing->name) : Json(nullptr)},
            {"utilisation", governing ? number(governing->utilisation) : Json(nullptr)},
            {"reads", texts(m.view.readsMembers)},
            {"feeds", texts(m.view.feedsMembers)},
            {"not_stated", texts(m.view.notStated)},
            {"assumptions", std::move(assumptions)},
            {"differs", texts(m.view.differs)},
            {"checks", std::move(checks)},
            {"quantities", std::move(quantities)}};
}

Json placeJson(const diag::Place& place, const std::optional<diag::Resolved>& at) {
    Json out = {{"file", text(place.file)}, {"line", nullptr}, {"column", nullptr}, {"width", nullptr}};
    if (at) {
        out["line"] = at->line;
        out["column"] = at->column;
        out["width"] = at->markWidth;
    }
    return out;
}

Json diagnosticJson(const DiagnosticFact& f) {
    const diag::Diagnostic& d = f.diagnostic;
    Json labels = Json::array();
    for (std::size_t i = 0; i < d.labels.size(); ++i) {
        Json label = placeJson(d.labels[i].place, i < f.labels.size() ? f.labels[i] : std::nullopt);
        label["text"] = text(d.labels[i].text);
        labels.push_back(std::move(label));
    }
    return {{"code", diag::codeText(d.code)}, {"name", diag::codeName(d.code)},    {"severity", diag::severityText(d.severity)},
            {"member", text(d.member)},       {"place", placeJson(d.place, f.at)}, {"message", text(d.message)},
            {"labels", std::move(labels)},    {"notes", texts(d.notes)},           {"mend", text(d.mend)}};
}

} // namespace

std::string writeJson(const JobFacts& f) {
    Json members = Json::array();
    for (const MemberFacts& m : f.members) members.push_back(memberJson(m));
    Json ticks = Json::array();
    for (const job::TickView& t : f.ticks) {
        ticks.push_back({{"member", text(t.member)},
                         {"name", text(t.name)},
                         {"by", text(t.by)},
                         {"on", text(t.on)},
                         {"letters", text(t.letters)},
                         {"state", tickWord(t.state)},
                         {"changed", text(t.changed)}});
    }
    Json remarks = Json::array();
    for (const RemarkFact& r : f.remarks)
        remarks.push_back(
            {{"member", text(r.member)}, {"name", text(r.name)}, {"by", text(r.by)}, {"on", text(r.on)}, {"text", text(r.text)}, {"answer", r.answer}});
    Json diagnostics = Json::array();
    for (const DiagnosticFact& d : f.diagnostics) diagnostics.push_back(diagnosticJson(d));
    const Json all = {{"format", "spanwright check"},
                      {"version", 1},
                      {"file", text(f.file)},
                      {"single_sheet", f.singleSheet},
                      {"cover", coverJson(f.cover)},
                      {"fingerprint", text(f.fingerprint)},
                      {"verdict", stampText(stampOf(f.verdict))},
                      {"status", f.exitStatus},
                      {"overrides", texts(f.overrides)},
                      {"cautions", texts(cautionsOf(f))},
                      {"members", std::move(members)},
                      {"ticks", std::move(ticks)},
                      {"remarks", std::move(remarks)},
                      {"diagnostics", std::move(diagnostics)}};
    return all.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace spanwright::report

// SPDX-License-Identifier: MIT
#include "tests/fuzz/targets.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "engine/io/files.h"
#include "engine/job/job.h"
#include "engine/shop/workshop.h"
#include "engine/syntax/document.h"
#include "engine/trial/pinned.h"
#include "engine/units/format.h"
#include "engine/units/unit.h"

namespace spanwright::fuzz {

namespace {

void law(bool holds, const char* which) {
    if (holds) return;
    std::fprintf(stderr, "law broken: %s\n", which);
    std::abort();
}

std::string withoutBlanks(const std::string& s) {
    std::string out;
    for (const char c : s) {
        if (c != ' ' && c != '\t') out.push_back(c);
    }
    return out;
}

/// One stated value of a member at a few places: the trial and the job with that value stated say the same of every member.
void variesAlike(io::Memory& files, const std::string& start, job::Job& job, std::size_t member, const meaning::Quantity& q) {
    const trial::ValueName name{job.isSingleSheet() ? std::string() : job.member(member).mark, q.name};
    const auto trial = trial::Trial::of(job, {name}, {});
    if (!trial) return;
    const trial::Varied& varied = trial.value().varied().front();
    if (!varied.now) return;
    const auto stated = job::Job::open(files, start, {.library = "library", .cancelled = {}});
    for (const double at : {*varied.now, varied.table ? 0.0 : *varied.now * 0.5, varied.table ? 1.0 : *varied.now * 1.75}) {
        if (varied.table && at >= static_cast<double>(varied.table->rowCount())) continue;
        const std::string text = trial.value().valueWritten(0, at);
        if (!stated->override(job.member(member).mark, q.name, text)) continue;
        const eval::Value& v = stated->value(member, q.id);
        if (!v.known() || (v.table && q.kind != meaning::Kind::Choose) || v.many.size() > 1) continue;
        const trial::Results r =
            trial.value().run(1, [&](std::size_t, std::size_t, double* const* out) { out[0][0] = v.data()[0]; }, {.threads = 1, .progress = {}});
        for (std::size_t k = 0; k < trial.value().members().size(); ++k) {
            const std::size_t index = trial.value().members()[k].index;
            law(r.members[k][0] == stated->member(index).verdict, "a point of a trial has the verdict of the job with that value stated");
        }
    }
}

void tries(io::Memory& files, const std::string& start) {
    const auto job = job::Job::open(files, start, {.library = "library", .cancelled = {}});
    (void)job->verdict();
    std::size_t tried = 0;
    for (std::size_t m = 0; m < job->memberCount() && tried < 4; ++m) {
        for (const meaning::Quantity& q : job->sheet(m).quantities) {
            const bool statable = q.kind == meaning::Kind::Ask || q.kind == meaning::Kind::Given || q.kind == meaning::Kind::Choose;
            if (!statable || q.broken || q.name.empty() || tried == 4) continue;
            ++tried;
            variesAlike(files, start, *job, m, q);
        }
    }
    auto plans = trial::planPinned(*job);
    for (std::size_t i = 0; i < plans.size() && i < 3; ++i) {
        std::size_t asked = 0;
        const trial::PinnedResult r = trial::workPinned(plans[i], {.threads = 1, .progress = [&](std::size_t, std::size_t) { return ++asked < 4; }});
        law(r.problem || r.leftOut || r.result.index() != 0, "a pinned trial has a result, a problem, or is left out");
        if (r.problem) (void)diag::renderText(*r.problem, job->resolver());
    }
}

void calculates(io::Memory& files, const std::string& start) {
    const auto job = job::Job::open(files, start, {.library = "library", .cancelled = {}});
    bool error = false;
    for (const diag::Diagnostic& d : job->diagnostics()) {
        error = error || d.severity == diag::Severity::Error;
        (void)diag::renderText(d, job->resolver());
    }
    law(!error || job->verdict() != job::Verdict::Ok, "an error and yet OK");
    law((job->exitStatus() == 0) == (job->verdict() == job::Verdict::Ok), "status and verdict say the same");
    for (std::size_t i = 0; i < job->memberCount(); ++i) (void)job->member(i);
    if (!shop::hasWorkshop(*job)) return;
    shop::WorkshopOptions options;
    options.plan.effort.work = 200'000;
    const shop::Workshop w = shop::work(*job, options);
    law(!w.bill.proven || w.priceStatus() == 0, "a total proven in spite of an error");
    shop::Cents total = 0, members = 0;
    for (const shop::BillLine& line : w.bill.lines) {
        shop::Cents shares = 0;
        for (const shop::Cents s : line.shares) shares += s;
        law(shares == line.cents, "shares add up to the line");
        total += line.cents;
    }
    for (const shop::MemberCost& m : w.bill.members) members += m.cents;
    law(total == w.bill.total && members == w.bill.total, "lines and members add up to the total");
    for (const diag::Diagnostic& d : w.problems) (void)diag::renderText(d, job->resolver());
}

} // namespace

void readsRows(const std::string& bytes) {
    for (const auto kind : {syntax::FileKind::Sheet, syntax::FileKind::Job}) {
        const syntax::Document d = syntax::Document::read("f", kind, bytes);
        law(d.text() == bytes, "text() gives the bytes back");
        for (const syntax::Row& row : d.rows()) {
            std::uint32_t at = 0;
            for (const syntax::Token& t : syntax::tokenize(row.text)) {
                law(t.span.begin == at && t.span.end >= at, "tokens are gapless");
                at = t.span.end;
            }
            law(at == row.text.size(), "tokens reach the end");
        }
        (void)d.diagnostics();
        const std::string once = syntax::tidy(d);
        law(withoutBlanks(once) == withoutBlanks(bytes), "tidy changes blanks only");
        law(syntax::tidy(syntax::Document::read("f", kind, once)) == once, "tidy is idempotent");
    }
}

void readsUnits(const std::string& bytes) {
    if (const auto unit = units::readUnit(bytes)) {
        const auto again = units::readUnit(unit.value().ascii);
        law(again.ok() && again.value().dimension == unit.value().dimension && again.value().factor == unit.value().factor, "a unit reads back");
    }
    if (const auto value = units::readValue(bytes)) {
        const auto again = units::readValue(units::writeValue(value.value().si, value.value().unit));
        law(again.ok() && again.value().si == value.value().si, "a value reads back");
        (void)units::showValue(value.value().si, value.value().unit);
    }
}

void calculatesSheet(const std::string& bytes) {
    io::Memory files;
    files.files["work/trial.spansheet"] = bytes;
    calculates(files, "work/trial.spansheet");
}

namespace {

io::Memory jobOf(const std::string& bytes) {
    io::Memory files;
    files.files["work/job.spanjob"] = bytes;
    files.files["work/beam.spansheet"] = "sheet beam\nask w [kN/m]\ngiven L = 3 m\nderive M [kN*m] as design = w*L^2/8\ncheck bending: M <= 4 kN*m\n";
    files.files["work/trial.spansheet"] = "sheet trial\ngiven L = 3.6 m\ngiven b = 47 mm\ngiven h = 195 mm\ncheck c: b <= 40 mm\n"
                                          "piece joist = 1 off, b by h by L from C24, density 420 (kg/m^3), groove L, glue L*b, screws L, nails 6\n"
                                          "piece web = 2 off, 12 mm by h to 2*h by L/3 from birch, density 680 (kg/m^3), grain free\n"
                                          "piece strip = 3 off, b by 60 mm by L/2 from C24, rip, plane, density 420 (kg/m^3)\n";
    return files;
}

} // namespace

void calculatesJob(const std::string& bytes) {
    io::Memory files = jobOf(bytes);
    calculates(files, "work/job.spanjob");
}

void triesSheet(const std::string& bytes) {
    io::Memory files;
    files.files["work/trial.spansheet"] = bytes;
    tries(files, "work/trial.spansheet");
}

void triesJob(const std::string& bytes) {
    io::Memory files = jobOf(bytes);
    tries(files, "work/job.spanjob");
}

} // namespace spanwright::fuzz
